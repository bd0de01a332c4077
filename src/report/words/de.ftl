# Die Wörter eines Berichts auf Deutsch.

## Fotos, die auf einer Seite fehlen
photographs-left-out = { $n ->
    [one] { $n } Foto ist nicht lesbar und fehlt hier: { $names }.
   *[other] { $n } Fotos sind nicht lesbar und fehlen hier: { $names }.
}

## Tage und Zeiten
date = { $day }. { $month } { $year }
date-month = { $month } { $year }
date-moment = { $day }, { $time }
month-1 = Januar
month-2 = Februar
month-3 = März
month-4 = April
month-5 = Mai
month-6 = Juni
month-7 = Juli
month-8 = August
month-9 = September
month-10 = Oktober
month-11 = November
month-12 = Dezember
now = heute

## Einheiten, die Wörter sind oder ein anderes Zeichen haben
unit-rpm = 1/min
unit-drops = Tropfen/min
unit-celsius = °C
unit-fahrenheit = °F
unit-celsius-rise = K
unit-fahrenheit-rise = °F Unterschied
unit-us-gallon = US-Gallonen
unit-us-quart = US-Quart
unit-imp-gallon = britische Gallonen
unit-imp-quart = britische Quart
unit-imp-pint = britische Pint
unit-gallons = US-Gallonen/min
unit-horsepower = hp (britisch)
unit-foot = Fuß
unit-inch = Zoll
one-in = 1 zu { $many }

## Wörter, die in den Aufzeichnungen stehen
grade-sound = in Ordnung
grade-early = erste Anzeichen
grade-worn = verschlissen
grade-failing = kurz vor dem Ausfall
grade-failed = ausgefallen
risk-high = hoch
risk-serious = ernst
risk-medium = mittel
risk-low = gering
risk-eliminated = beseitigt
severity-catastrophic = katastrophal
severity-critical = kritisch
severity-marginal = begrenzt
severity-negligible = unerheblich
verdict-clear-to-run = frei zum Betrieb
verdict-nothing-seen-against-starting = nichts gesehen, was gegen das Anlassen spricht
verdict-run-with-care = mit Vorsicht betreiben
verdict-do-not-leave = nicht ablegen
verdict-do-not-run = Motor nicht laufen lassen
verdict-signed-off = abgenommen
verdict-signed-off-with-recheck = abgenommen, Nachkontrolle steht aus
verdict-not-signed-off = nicht abgenommen
waters-sheltered = geschützte Gewässer
waters-inshore = küstennahe Gewässer
waters-offshore = außerhalb der Küstengewässer
waters-ocean = Hochsee
effect-fire = Brand
effect-exhaust-gas = Abgas im Innenraum
effect-flooding = Wassereinbruch
effect-loss-of-control = Verlust der Kontrolle über den Antrieb
effect-injury = Verletzung
effect-loss-of-safeguard = Ausfall einer Schutzeinrichtung
effect-loss-of-propulsion = Ausfall des Antriebs
effect-engine-damage = Motorschaden
effect-loss-of-starting = Ausfall von Start oder Ladung
effect-pollution = Öl oder Kraftstoff im Wasser
effect-nuisance = Belästigung
leak-none = trocken
leak-i = I (feucht)
leak-ii = II (Tropfen, die halten)
leak-iii = III (Tropfen, die fallen)
leak-stream = Strahl
engine-cold = kalt
engine-dead = gegen Anlassen gesichert
engine-key-on = Zündung ein, Motor steht
engine-crank = dreht mit dem Anlasser
engine-first-minute = erste Minute
engine-idle = Leerlauf
engine-fast = erhöhte Leerlaufdrehzahl
engine-in-gear = eingekuppelt
engine-under-way = in Fahrt
engine-full-throttle = Volllast
engine-just-stopped = eben abgestellt
engine-settled = seit einer Weile abgestellt
engine-next-morning = am nächsten Morgen, kalt
mark-chafe = Scheuerstelle
mark-wear = Verschleiß
mark-corrosion = Korrosion
mark-crack = Riss
mark-heat = Hitzespur
mark-contamination = Verschmutzung
mark-loose = locker
where-under-way = unterwegs
where-at-anchor = vor Anker
where-in-port = im Hafen
where-hauled-out = an Land
who-owner = Eigner
who-mechanic = Bootsmotorenmechaniker
who-electrician = Bootselektriker
who-yard = Werft
state-open = offen
state-deferred = zurückgestellt
state-repaired = repariert
state-confirmed = repariert und bestätigt
state-temporary = behelfsmäßig repariert
state-withdrawn = zurückgezogen
anew-repair = Reparatur
anew-fitted = neues Teil
anew-service = Wartung
anew-cleaned = Reinigung
anew-adjusted = Einstellung

## Titel und erste Angaben
title-walk = { $boat }: { $walk }
title-logbook = { $boat }: Maschinenraum, Stand { $day }
fact-boat = Boot
fact-waters = Übliches Fahrtgebiet
fact-machine = Maschine
machine-hours = { $name } ({ $id }), { $hours }
machine-about = { $name } ({ $id }), etwa { $hours }
fact-purpose = Zweck
fact-begun = Begonnen
fact-finished = Beendet
not-finished = nicht beendet
fact-by = Durchgeführt von
not-stated = nicht angegeben
fact-meter = Betriebsstundenzähler
not-read = nicht abgelesen
fact-walk = Rundgang
fact-spite = Trotz Stopp gelaufen
spite-reason = Der Motor lief trotz { $rows }; angegebener Grund: { $why }
spite-no-reason = Der Motor lief trotz { $rows }; ein Grund wurde nicht angegeben
fact-made = Bericht erstellt

## Urteil und Zusammenfassung
verdict-gone = Urteil beim Rundgang: { $then }; derzeit keines: { $why }.
verdict-both = Urteil beim Rundgang: { $then }; derzeit: { $now }.
verdict-is = Urteil: { $now }.
of-item = { $item }: { $said }
said-then = Am Ende des Rundgangs gesagt: { $verdict }, von { $build }
said-counts-now = Zählt jetzt und zählte damals nicht, Eintrag: { $records }
said-counts-no-longer = Zählte damals und zählt jetzt nicht, Eintrag: { $records }
said-profile = Es gilt ein anderes Bootsprofil als damals bekannt war
said-program = Eine andere Fassung des Programms rechnet
said-no-record = Warum heute anders gerechnet wird, geht aus keinem Eintrag hervor
before-you-start = Vor dem Anlassen
summary-title = Zusammenfassung
summary = { $seen } von { $asked } Punkten wurden gesehen. { $found }
summary-none = Kein Mangel ist offen.
summary-open = Offene Mängel nach Risiko: { $risks }.
summary-open-repaired = Offene Mängel nach Risiko: { $risks }; davon { $n } repariert und noch nachzusehen.
tell-today = Verbietet den Betrieb: dem Eigner noch am selben Tag sagen
first-to-put-right = Zuerst zu beheben
defect-line = { $title } ({ $station }), { $rung }, Risiko { $risk } ({ $code }): { $remedy }

## Mängel
defects-title = Mängel, die schwersten zuerst
defects-none = Keiner ist offen.
ranked-over = Gereiht für { $hours } Betriebsstunden und { $days } Tage voraus, Fahrtgebiet: { $waters }. Die Tage folgen aus der üblichen Nutzung.
defect-standing = { $rung }; Risiko { $risk } ({ $code }); { $station }, { $machine }; { $state } seit { $day }.
the-boat = das Boot
forbids-running = Verbietet den Betrieb
on-the-drawing = Auf der Zeichnung
observed = Beobachtet
observed-nothing = Nichts Neues: das Alter oder eine Regel spricht.
opinion = Einschätzung und Rat
caution = Vorsicht: { $says }
other-photographs = Weitere Fotos

## Was beobachtet wurde
of-rung = { $rung }: { $looks }
value-of-rung = { $value } ({ $digit })
look-joined = Kam hinzu
look-leak = Leckageklasse
look-measured = Gemessen
look-added = Nachgefüllt
look-marks = Spuren
look-kind = Art
look-note = Notiz
look-said = Aussage von Eigner oder Verkäufer, nicht bewertet
look-why = Grund dieser Stufe
look-seen = Gesehen
look-photo = Foto
times-as-last = { $n } × wie beim letzten Mal
photo-named = { $caption } ({ $path })
photo-no-caption = ohne Bildtext
photo-none = Ohne Bildtext
mark-at = { $mark } an { $place }
mark-against = { $mark } gegen { $other }
not-seen = nicht gesehen
not-seen-why = nicht gesehen: { $why }
no-reason = kein Grund angegeben
not-graded = bei keinem Rundgang bewertet

## Was davon zu halten ist
advice-why = Warum hier
advice-effect = Mögliche Folge
advice-remedy = Abhilfe
advice-who = Wer, wo
advice-parts = Teile
advice-fix = Beheben
advice-again = Wieder nachsehen
advice-deferred = Zurückgestellt
who-where = { $who }, { $place }
fix-stop = bevor der Motor wieder läuft
fix-repaired = repariert; noch nachzusehen
fix-convenient = bei Gelegenheit
wait-now = jetzt
wait-decades = erst in 20 Jahren oder später
wait-hours = { $n ->
    [one] innerhalb 1 Betriebsstunde
   *[other] innerhalb von { $n } Betriebsstunden
}
wait-by = bis { $day }
wait-idle = { $hours }; bei dieser Nutzung ohne Frist
wait-never = bei dieser Nutzung ohne Frist
advise-look-again = repariert; noch einmal nachsehen
advise-next-walk = beim nächsten Rundgang
advise-next-walker = wer den nächsten Rundgang macht
advise-proof-look = ein Befund „in Ordnung“
advise-proof-repair = die eingetragene Reparatur und danach ein Befund „in Ordnung“
advise-access = wer Zugang schaffen kann
advise-before-relying = bevor sich jemand darauf verlässt
advise-proof-grade = ein Befund mit Stufe

## Stufen im Lauf der Zeit
ladder-key = Unter jedem Mangel stehen seine Stufen im Lauf der Zeit: jede Ziffer ist ein Befund mit seiner Stufe, Punkte sind ein unterbliebener Blick; ein senkrechter Strich ist eine Reparatur (R) oder, gestrichelt, eine behelfsmäßige (T), oder was durch Erklärung geschlossen (W) oder ausgebaut wurde (X); w ist eine Verschleißspur, n eine Notiz, ? ein Befund, der nicht gilt, G der Tag, an dem das Boot weitergegeben wurde: davor steht alles nur auf das Wort eines früheren Eigners. Rechts der Linie für heute heißt L, wann wieder nachzusehen, und F, bis wann zu beheben ist; je dunkler eine Stufe unterlegt ist, desto sicherer wird sie erreicht: vielleicht, eher als nicht, so gut wie sicher (Ermessen).
ladder-title = { $item } im Lauf der Zeit: oben die Stufe „in Ordnung“, unten „ausgefallen“
graded-never = Noch niemand hat es bewertet.
graded = Seit { $day } { $times } bewertet.
graded-not-seen = Seit { $day } { $times } bewertet, { $unseen } vorgesehen und nicht gesehen.
times = { $n ->
    [1] einmal
    [2] zweimal
   *[other] { $n }-mal
}
turn = { $what } am { $day }
turns-before = nach { $n } früheren Wechseln: { $turns }
expected = Erwartet mit 5, 50 und 95 von hundert Aussichten: { $rungs }.
ahead-rung = { $rung } oder schlechter { $met }
ahead-failed = { $rung } { $met }
met-perhaps-already = vielleicht schon jetzt
met-perhaps-from = frühestens { $when }
met-perhaps-decades = vielleicht in mehr als 20 Jahren
met-likely-already = eher als nicht schon jetzt
met-likely-by = eher als nicht bis { $when }
met-likely-decades = eher als nicht erst in mehr als 20 Jahren
met-sure-already = so gut wie sicher schon jetzt
met-sure-by = so gut wie sicher bis { $when }
met-sure-decades = so gut wie sicher erst in mehr als 20 Jahren
hours-of-running = nach { $hours } Betriebsstunden
mark-said = { $sign } { $day }: { $says }
happened-look = Befund
happened-wear = Verschleißspur
happened-note = Notiz
happened-not-seen = nicht gesehen
happened-not-taken = Befund, der nicht gilt
happened-put-right = behoben
happened-temporary = behelfsmäßig repariert
happened-withdrawn = zurückgezogen
happened-taken-out = ausgebaut
happened-given-on = weitergegeben, davor das Wort eines früheren Eigners

## Überschriften
section-not-counted = Nicht berücksichtigt
section-scope = Umfang
section-limitations = Grenzen
section-agreed = Vorher vereinbart
section-told = Unsichere Befunde, und wem sie gesagt wurden
section-not-seen = Nicht gesehen
section-coverage = Abdeckung
section-behind = Was dahinterstecken kann
section-recommendations = Empfehlungen
section-costs = Kosten
section-readings = Messwerte
section-trial = Probefahrt
section-work = Wiederkehrende Arbeiten
section-method = Wie die Zahlen zustande kommen
section-cautions = Vorsicht bei der Arbeit
section-seal = Siegel der Aufzeichnungen
looks-of-walk = Anhang: jeder Befund des Rundgangs
looks-last = Anhang: der letzte Befund zu jedem Punkt
looks-none = Es gibt keinen.
stations = Stationen
places-title = Wo was ist
where-findings = Wo die Befunde sind

## Spalten
col-item = Punkt
col-value = Wert
col-rung = Stufe
col-phase = Abschnitt
col-speed = Motordrehzahl
col-when = Wann
col-where = Wo
col-seen = Was gesehen wurde
col-station = Station
col-worst = Schlechteste Stufe
col-seen-of = Gesehen
col-no = Nr.
col-finding = Befund
col-why = Warum
col-close = Was die Lücke schlösse
col-rule = Regel
col-found = Festgestellt
col-told = Gesagt zu
col-told-at = Gesagt am
col-severity = Schwerste Folge
col-items = Punkte
col-never = Nie gesehen
col-mean-worn = Verschlissen oder schlechter, im Mittel
col-mean-fail = Ausfälle, im Mittel
col-any-fail = Mindestens ein Ausfall
col-what = Was zu tun ist
col-who = Wer, wo
col-by-when = Bis wann
col-rank = Rang
col-risk = Risiko
col-low = Niedrig
col-likely = Wahrscheinlich
col-high = Hoch
col-mean = Mittel
col-rests = Beruht auf
col-due = Was
col-machine = Maschine
col-over = Überfällig um
col-work = Arbeit
col-date = Datum
col-meter = Zählerstand
col-by = Von
col-parts = Teile und Notiz
col-passes = Was genügt
col-source = Quelle
so-many-of = { $n } von { $all }

## Umfang und Grenzen
scope-looked = Besichtigt mit Auge, Lampe und Hand, von der Luke aus und so weit, wie Arme und Kopf reichen.
scope-part = { $part } (Motor: { $state })
scope-parts = Begangene Abschnitte: { $parts }.
scope-counts = Angesehen: { $looks }-mal, Messwerte: { $readings }, Fotos: { $photographs }.
scope-blind = Blind begangen: was frühere Rundgänge gefunden hatten, blieb zu jedem Punkt verdeckt, bis er angesehen war.
scope-guest = Von einem Gast begangen: was gesehen wurde, hebt nichts auf und bestätigt keine Reparatur.
scope-guest-named = Von einem Gast begangen, { $who }: was gesehen wurde, hebt nichts auf und bestätigt keine Reparatur.
scope-after = Erst begangen und danach eingetippt.
scope-logbook = Alle Befunde bis { $at }, aus { $n ->
    [one] { $n } Rundgang
   *[other] { $n } Rundgängen
}.
limit-1 = Zerlegt wurde nichts über das hinaus, was ein Befund nennt. Was hinter Verkleidungen, Isolierungen, Tanks und Gussteilen liegt, wurde nicht gesehen.
limit-2 = Das Innere des Motors wurde nicht gesehen: Kompression, Lager, Zylinderlaufbahnen und Ventile liegen außerhalb dieses Berichts.
limit-3 = Der Zustand ist der des Tages. Nichts hier sagt, wie lange ein Teil noch hält.
limit-4 = Schlechtes Licht, Unordnung, eine leere Batterie, ein vorher warmgefahrener Motor oder Schwell begrenzen, was sich sagen lässt.
limit-5 = Ein nicht gesehener Punkt ist weder in Ordnung noch ein Mangel. Jeder steht in einer eigenen Liste mit dem, was die Lücke schlösse.
limit-6 = Ein Messwert ist so gut wie das Messgerät; es wurde für diesen Befund nicht kalibriert, sofern keine Notiz etwas anderes sagt.
limits-english = Teile dieses Berichts stehen auf Englisch, weil das Programm sie noch in keiner anderen Sprache hat: Namen und Wörter von Punkten, Stufen, Warnungen und Abhilfen, die noch nicht übersetzt sind, was vor dem Anlassen zu tun ist, warum ein Mangel steht, wo er steht, die Gründe eines Urteils, was nicht berücksichtigt ist, was hinter den Befunden stecken kann, warum eine Arbeit fällig ist und worauf Messreihen und Erwartungen beruhen. Auf einer Seite ist jeder davon als englisch gekennzeichnet.
not-counted-about = Dies ist aufgezeichnet und zählt im Folgenden nirgends; was dort steht, kann daher besser aussehen, als es sollte.
not-seen-none = Alles Vorgesehene wurde gesehen.
method-1 = Jeder Punkt wird auf einer Leiter von fünf Stufen bewertet: in Ordnung, beginnend, verschlissen, kurz vor dem Ausfall, ausgefallen. Die Wörter der Stufe sind für genau diesen Punkt geschrieben.
method-2 = Aus der gesehenen Stufe, den Stunden und Tagen seither und den Stunden und Tagen voraus wird mit einer Kette von Stufen die Aussicht auf einen Ausfall gerechnet. Wie lange etwas auf einer Stufe bleibt, ist das Ermessen dieses Programms und keine Angabe zu diesem Boot, sofern das Boot es nicht anders gelehrt hat.
method-3 = Was einem Ausfall folgen kann, hat eine Schwere von 1 (katastrophal) bis 4 (unerheblich), für kleine Boote abgestuft nach Tabelle I von MIL-STD-882E. Die Aussicht ergibt eine Stufe von A bis F nach den Grenzen seiner Tabelle A-II. Beides zusammen ergibt ein Risiko nach seiner Tabelle III.
method-4 = Mängel sind nach einem Merkmal nach dem anderen gereiht: ob eine Stoppregel gilt, Risiko, Schwere, Aussicht. Es werden keine Punktzahlen multipliziert.
method-5 = „Beheben“ nennt die längste Frist, in der das Risiko noch unter dem nächsten bleibt, das eine Reparatur verlangt. Sie hilft beim Planen und erlaubt kein Zuwarten.
method-6 = Leckageklassen: I ist Feuchte, II sind Tropfen, die halten, III Tropfen, die fallen (Bedienerprüfungen der US-Armee); ein Strahl ist ergänzt.
caution-1 = Das Handbuch des Herstellers, örtliche Vorschriften und zugelassene Fachbetriebe stehen über allem, was hier geschrieben ist.
caution-2 = Motor abstellen, Schlüssel abziehen und heiße Teile abkühlen lassen, bevor Hände hineingreifen. Riemen, Wellen und Lüfter laufen ohne Warnung an.
caution-3 = Kraftstoff unter Druck dringt in die Haut: mit Pappe suchen, nie mit der Hand. Kraftstoff und Dämpfe brennen: keine Flamme, kein Funke, Feuerlöscher an der Luke.
caution-4 = Auf der Seewasserseite nichts öffnen, was sich nicht wieder schließen lässt.
caution-5 = Abgas tötet unbemerkt. Wenn ein Melder anschlägt oder der Kopf schmerzt: Motor abstellen, alles öffnen und an die frische Luft gehen.
closing = Dieser Bericht hält fest, was gesehen und gemessen wurde. Er ist kein Zertifikat, keine Gewährleistung und keine Erlaubnis zum Betrieb.

## Vereinbart und gesagt
agreed-runs = Wer den Motor fährt
agreed-open = Was geöffnet werden darf
agreed-samples = Welche Proben genommen werden dürfen
agreed-throttle = Volllast
agreed-arrival = Der Motor bei Ankunft, kalt oder warm
agreed-started = Wer den Motor gestartet hat
agreed-not-noted = nicht notiert
agreed-not = nicht vereinbart
told-nobody = niemand eingetragen
told-late = { $at }, nach dem Tag der Feststellung

## Abdeckung
coverage = Gesehen: { $seen } von { $asked } Punkten, { $plain }. Jeder Punkt mit 8, 4, 2 oder 1 gewichtet, je nach der schwersten Folge seines Ausfalls: { $weighted }.
hidden = Was die nicht gesehenen Punkte verbergen könnten
hidden-about = Für { $hours } Betriebsstunden und { $days } Tage voraus. Was noch nie jemand angesehen hat, wird zu { $worn } als verschlissen, zu { $failing } als kurz vor dem Ausfall und zu { $failed } als ausgefallen angenommen. Diese Anteile sind Ermessen. Sie wissen nichts von diesem Boot, und keine Zahl ersetzt das Nachsehen.

## Einschätzung, Empfehlungen, Kosten
behind-about = Eine Einschätzung des Gesehenen und kein Befund: sie ändert keine Stufe, keinen Rang und kein Urteil. { $judgement }
recommendations-about = In der Reihenfolge der Mängel, zuerst was den Betrieb verbietet; danach, was die Lücken schlösse. Eine Reparatur ist erledigt, wenn sie eingetragen ist und ein späterer Befund den Punkt in Ordnung findet. All dies ist Rat: was Gesetz oder Handbuch verlangen, steht darüber.
cost-stop = STOPP
no-estimate = keine Schätzung
costs-without = Ohne Schätzung und in keiner Summe enthalten: { $n } von { $all }.
costs-about = Schätzungen sind die derer, die sie abgegeben haben. Was niemand gesehen hat, ist in keiner enthalten, ebenso wenig, was beim Öffnen zutage kommt.
costs-mean = Summe aus { $n ->
    [one] { $n } Schätzung
   *[other] { $n } Schätzungen
}: { $mean } im Mittel.
costs-independent = In acht von zehn Fällen { $low } bis { $high }, wenn eine Arbeit nichts über die andere sagt.
costs-dependent = In acht von zehn Fällen { $low } bis { $high }, wenn alle zugleich teuer oder günstig ausfallen, etwa bei derselben Werft oder derselben Vernachlässigung.
costs-ends = Die Summen der niedrigen und der hohen Werte, { $low } und { $high }, sind die Enden der Schätzung und werden kaum je erreicht.

## Orte
places-about = Für kein bestimmtes Boot gezeichnet, außer was der Eigner an seinen Platz gesetzt hat. Ring: gesehen und kein Befund; schraffiert: nicht gesehen; eine Zahl führt zu ihrem Befund.
places-label = Wo was ist, { $view }; die Tabelle sagt dasselbe in Worten
place-not-told = nicht angegeben; gezeichnet, wo es oft ist
place-at = { $along }, { $across }
place-at-height = { $along }, { $across }, { $height }
along-forward = vor dem Motor
along-forward-end = am vorderen Ende des Motors
along-beside = neben dem Motor
along-aft-end = am hinteren Ende des Motors
along-aft = hinter dem Motor
across-amidships = mittschiffs
across-starboard = an Steuerbord
across-port = an Backbord
height-low = tief
height-high = hoch
view-above = von oben, Steuerbord oben
view-side = von der Seite, von Backbord gesehen
forward = vorn
aft = achtern

## Probefahrt
trial-about = Eine Zeile ist eine Motordrehzahl, und ein Befund bei einer steht für keine andere. Jeder Wert hat die Ziffer seiner Stufe. „Nicht vorgesehen“: nicht bei dieser Drehzahl. „Einmal vorgesehen“: bei einer anderen Drehzahl desselben Abschnitts gesehen. „Nicht abgelesen“: vorgesehen, und nichts ist aufgezeichnet.
trial-no-rated = Die Nenndrehzahl ist nicht aufgezeichnet, daher ist kein Anteil an ihr genannt.
trial-grid = Probefahrt nach Motordrehzahl
trial-columns = Probefahrt nach Motordrehzahl, Spalten { $first } bis { $last } von { $all }
trial-pass = Woran die Messwerte gemessen werden
trial-pass-lines = Grenzwerte der Probefahrt; das Handbuch des Herstellers geht vor
climbing = { $item }, { $at }: { $said }
cell-not-asked = nicht vorgesehen
cell-once = einmal vorgesehen
cell-not-read = nicht abgelesen
no-phase = kein Abschnitt genannt
speed-not-told = { $name }, Drehzahl nicht angegeben

## Messwerte im Lauf der Zeit
chart-label = Messwerte im Lauf der Zeit: { $item }
chart-digits = Jede Ziffer ist ein Messwert mit der dazu gegebenen Stufe.
chart-not-from-0 = Die Skala beginnt nicht bei 0.
chart-line = Die Linie ist eine Theil-Sen-Gerade, über die Messwerte hinaus gepunktet.
chart-fan = Die dünnen Linien führen zum frühesten und zum spätesten Erreichen der Grenze.
chart-dots = Je dichter die Punkte, desto schlechter die Stufe, die ein Wert dort bedeutet.
chart-topped-up = Ein + ist, was nachgefüllt wurde, mit gestrichelter Senkrechter, wo der Anstieg bekannt ist.
chart-anew = Die gepunktete Senkrechte zeigt, wo die Reihe neu begann ({ $by }).
chart-pause = Eine Klammer auf der Achse ist eine lange Zeit ohne Messwert.
chart-readings = { $n } Messwerte in { $unit } über { $over }.
chart-readings-state = { $n } Messwerte in { $unit } über { $over }, Motor: { $state }.
chart-earlier = Frühere Messwerte, die zu einer vorherigen Reihe gehören: { $n }.
over-axis-hours = den Betriebsstunden
over-axis-days = den Tagen
axis-hours = Betriebsstunden
axis-date = Datum
no-reading = kein Messwert
trend-no-rung-ahead = Es liegt keine schlechtere Stufe voraus
trend-dates = Tage nach der üblichen Nutzung, { $rate }
trend-per-hours = 100 h
trend-per-days = 30 Tage
trend-slope = Steigung { $slope } { $unit } je { $per }
trend-slope-between = Steigung { $slope } { $unit } je { $per } ({ $share } %: { $low } bis { $high })
trend-rising = Steigend
trend-falling = Fallend
trend-none = Kein Trend erkannt
trend-exact = exakt
trend-normal = Normalnäherung
trend-p-below = unter { $p }
trend-call = { $call }: Wahrscheinlichkeit ohne Trend { $p } ({ $method }), { $pairs }, { $n } Punkte geprüft
trend-limit = { $rung } bei { $value } { $unit }
trend-reached = Nach der Geraden ist seit dem letzten Messwert erreicht: { $limit }
trend-reaches = Erreicht { $limit } etwa { $about }
trend-not-before = nicht vor { $when }
trend-no-interval = kein Vertrauensbereich bekannt
trend-not-after = nicht nach { $when }
trend-perhaps-never = vielleicht nie
topped-up = { $n ->
    [one] Einmal
   *[other] { $n }-mal
} nachgefüllt, { $volume } in { $hours } beobachteten Betriebsstunden: { $rate }
topped-up-rate = { $volume } je 100 h
topped-up-no-hours = keine Betriebsstunden zum Vergleich
rate = { $hours } h am Tag, nach { $by }
rate-between = { $hours } h am Tag (90 %: { $low } bis { $high }), nach { $by }
rate-recent = den Zählerständen der letzten 180 Tage
rate-all = allen Zählerständen
rate-profile = den üblichen Stunden eines Monats
when-now = jetzt
when-hours = in { $hours } h
when-meter = Zähler { $meter }
when-no-date = ohne Tag

## Arbeiten und Siegel
work-due = Fällig
work-done = Zuletzt erledigt
over-hours = { $n } h
over-days = { $n } Tage
due-now = jetzt fällig
seal-stands = Es steht für { $n } Einträge. Zum Prüfen: handlamp logbook verify-seal, mit dem Code.
seal-stands-last = Es steht für { $n } Einträge, der letzte vom { $at }. Zum Prüfen: handlamp logbook verify-seal, mit dem Code.
seal-proves = Wer den Code aufbewahrt hat, dem beweist ein Siegel, dass die Aufzeichnungen dieselben sind wie zu der Zeit, als es gemacht wurde. Es beweist nicht, wer sie gemacht hat, wann, oder dass sie wahr sind. Profildatei und Bilder sind nicht darin.
# Die Seite einer Besichtigung als Dokument, und der Rahmen jeder Seite.

page-skip = Direkt zu den Befunden
page-skip-all = Direkt zum Ergebnis
page-contents = Inhalt
page-table = Tabelle: { $name }
page-photograph-of = Foto { $number } von { $title }: { $caption }
page-photograph-plain = Foto von { $title }: { $caption }
page-number-of = Seite { $page } von { $pages }
page-digest = Prüfwert
page-draft = Entwurf, nicht ausgestellt

doc-kind = Zustandsbericht der Maschinenanlage
doc-title = { $boat }: Zustandsbericht der Maschinenanlage, { $day }
doc-title-issued = { $boat }: Zustandsbericht der Maschinenanlage { $number }, Revision { $revision }, { $day }
doc-foot-issued = Bericht { $number }, Revision { $revision } · { $boat }
doc-foot-draft = Entwurf, nicht ausgestellt · { $boat }
doc-number = Berichtsnummer
doc-revision = Revision
doc-issued = Ausgestellt
doc-code = Code
doc-code-says = Der Leser erhält diesen Code auf einem anderen Weg: auf Papier, mündlich, aus der Hand dessen, der den Bericht ausgestellt hat. Ein Code in dieser Datei beweist nur, dass die Datei vollständig ist. Er ist keine Unterschrift.
doc-draft-says = Dieser Entwurf hat keine Nummer und keinen Code. Er kann sich ändern, und niemand verlässt sich auf ihn.

doc-answer = Kurz gesagt
doc-before-use = { $n ->
    [one] Punkt { $items } sollte behoben sein, bevor die Maschine läuft.
   *[other] Die Punkte { $items } sollten behoben sein, bevor die Maschine läuft.
}
doc-before-use-none = Von dem, was angesehen wurde, muss nichts behoben werden, bevor die Maschine läuft.
doc-and = { $first } und { $last }
doc-to = { $first } bis { $last }
doc-not-seen = { $n ->
    [0] Alle { $asked } gefragten Teile wurden gesehen.
    [one] 1 von { $asked } Teilen wurde nicht gesehen. Es kann in Ordnung sein oder nicht; die Antwort oben kann sich ändern, sobald es gesehen ist.
   *[other] { $n } von { $asked } Teilen wurden nicht gesehen. Jedes kann in Ordnung sein oder nicht; die Antwort oben kann sich ändern, sobald sie gesehen sind.
}
doc-hidden = { $n ->
    [one] 1 davon kann, wenn es versagt, das Boot, ein Leben oder den Motor kosten: Es sollte gesehen sein, bevor sich jemand auf diesen Bericht verlässt.
   *[other] { $n } davon können, wenn sie versagen, das Boot, ein Leben oder den Motor kosten: Sie sollten gesehen sein, bevor sich jemand auf diesen Bericht verlässt.
}
doc-repaired = { $n ->
    [one] 1 Punkt wurde behoben und muss noch einmal angesehen werden.
   *[other] { $n } Punkte wurden behoben und müssen noch einmal angesehen werden.
}
doc-oil-outstanding = Das Ergebnis der Ölprobe steht aus. Es kann diesen Bericht ändern und folgt als Nachtrag.
doc-others = { $n ->
    [one] 1 weiterer Eintrag steht im Logbuch und gehört nicht zu diesen Befunden. Die Antwort oben zählt ihn nicht mit; er steht unter „Was getan wurde“.
   *[other] { $n } weitere Einträge stehen im Logbuch und gehören nicht zu diesen Befunden. Die Antwort oben zählt sie nicht mit; sie stehen unter „Was getan wurde“, was den Betrieb verbietet zuerst.
}
doc-not-counted = { $n ->
    [one] 1 Eintrag ist aufgezeichnet und zählt unten nirgends; der Bericht kann deshalb besser sein, als er sein dürfte.
   *[other] { $n } Einträge sind aufgezeichnet und zählen unten nirgends; der Bericht kann deshalb besser sein, als er sein dürfte.
}
doc-withdrawn = { $n ->
    [one] 1 Befund einer früheren Revision wurde zurückgezogen.
   *[other] { $n } Befunde früherer Revisionen wurden zurückgezogen.
}
doc-class = Klasse
doc-how-many = Anzahl
doc-items = Befunde
doc-classes = Wie lange die Befunde warten können
doc-none = keine

class-before-use = vor der Benutzung
class-by-date = bis zu einem Termin
class-next-lay-up = im nächsten Winterlager
class-watch = beobachten
class-information = zur Kenntnis
class-before-use-means = Zu beheben, bevor der Motor läuft oder das Boot ablegt.
class-by-date-means = Zu beheben innerhalb der genannten Stunden oder bis zum genannten Tag.
class-next-lay-up-means = Zu beheben mit anderen Arbeiten, im nächsten Winterlager.
class-watch-means = Noch einmal anzusehen, nach den genannten Stunden oder bis zum genannten Tag.
class-information-means = Nichts ist zu tun; es steht hier, damit man es weiß.
class-gaps = Um zu sehen, was nicht gesehen wurde
class-gaps-means = Was niemand gesehen hat, hat keine Klasse. Hier steht, wie man es zu sehen bekäme.

doc-particulars = Angaben
doc-not-entered = Nicht angegeben: { $facts }.
doc-nothing-entered = Nicht angegeben.
front-instruction = Auftrag
front-surveyor = Gutachter
front-day = Ort und Tag
front-boat = Boot
front-machinery = Maschinenanlage, wie auf den Typenschildern
front-basis = Unterlagen und Messgeräte
fact-client = Auftraggeber
fact-instruction = Beauftragt
fact-users = Weitere vorgesehene Leser
fact-surveyor = Name und Anschrift
fact-qualification = Qualifikation
fact-insurance = Versicherung
fact-place = Ort
fact-lying = Lage
fact-arrival = Motor bei Ankunft
fact-weather = Wetter und See
fact-load = Rumpf, Tanks, Personen an Bord
fact-attending = Anwesend
fact-boat-type = Typ
fact-builder = Werft
fact-built = Baujahr
fact-hull-number = Rumpfnummer
fact-registration = Registrierung
fact-flag = Flagge
fact-engine = Motor
fact-engine-serial = Seriennummer
fact-rated-power = Nennleistung
fact-rated-speed = Nenndrehzahl
fact-engine-year = Baujahr des Motors
fact-hour-meter = Betriebsstundenzähler
fact-gearbox = Getriebe
fact-gearbox-ratio = Übersetzung
fact-gearbox-serial = Seriennummer des Getriebes
fact-propeller = Welle und Propeller
fact-instruments = Messgeräte
fact-documents = Eingesehene Unterlagen
fact-oil-analysis = Ölproben
fact-name = Name
fact-walked = Besichtigt
fact-walked-by = Rundgang von
fact-assistant = { $by }, Gehilfe nach Anweisung des Gutachters
fact-nobody = niemand genannt
fact-afloat = im Wasser
fact-ashore = an Land
fact-dried-out = trockengefallen
fact-cold = kalt
fact-warm = warm
fact-not-told = nicht bekannt
fact-meter-read = { $hours } h, abgelesen
fact-meter-about = etwa { $hours } h, geschätzt
fact-meter-not-read = nicht abgelesen

doc-scope = Was getan wurde
doc-looked-run = Bei laufendem Motor angesehen
doc-looked-still = Nur bei stehendem Motor angesehen
doc-looked-any = Angesehen; der Zustand des Motors ist nicht bekannt
doc-not-looked = Nicht angesehen
doc-not-looked-says = { $n ->
    [0] Von dem Gefragten wurde nichts ausgelassen.
    [one] 1 Teil: siehe „Nicht gesehen“, mit Grund und dem, womit man es sehen könnte.
   *[other] { $n } Teile: siehe „Nicht gesehen“, mit Grund und dem, womit man sie sehen könnte.
}
doc-nothing-there = Nichts.
doc-agreed = Vorher vereinbart
doc-agreed-not = Was vorher vereinbart wurde, ist nicht aufgezeichnet.
doc-not-in-it = Im Logbuch und nicht unter diesen Befunden

doc-findings = Befunde
doc-findings-say = Die schlimmsten zuerst. Was gesehen oder gemessen wurde, steht getrennt von der Meinung darüber.
doc-findings-none = An dem, was angesehen wurde, fand sich kein Mangel.
doc-engine-state = Zustand des Motors
doc-observed-none = Kein Blick dieses Berichts: Sein Alter oder eine Regel spricht.
doc-opinion = Meinung
doc-certainty = Gewissheit
doc-seen = gesehen
doc-inferred = gefolgert aus Alter oder Regel
doc-not-known = nicht bekannt
doc-may-follow = Mögliche Folge
doc-rule = Regel
doc-since = Seit
doc-see-recommendation = Empfehlung { $n }
doc-deferred = Vom Eigner aufgeschoben

doc-plan = Wo die Befunde sind
doc-plan-says = Für kein bestimmtes Boot gezeichnet, außer wo der Ort angegeben ist. Eine Zahl ist die ihres Befunds. Ring: gesehen, kein Befund; schraffiert: nicht gesehen.

doc-recommendations = Empfehlungen
doc-recommendations-say = In der Reihenfolge ihrer Klasse. All dies ist Rat: Was das Gesetz verlangt und was im Handbuch des Herstellers steht, geht vor.
doc-no-recommendations = Keine.
doc-rec-number = Nr.
doc-rec-finding = Befund
doc-rec-what = Was zu tun ist
doc-rec-who = Wer, wo
doc-rec-when = Bis wann
doc-rec-proof = Erledigt, wenn
doc-cautions = Vorsicht bei der Arbeit

doc-oil = Ölproben
doc-oil-says = Worte und Zahlen des Labors, nicht des Gutachters. Die Grenzwerte sind die des Labors. Eine Probe ist ein Augenblick, und frisches Öl verbirgt.
doc-oil-what = Gemessen
doc-oil-value = Wert
doc-oil-limit = Grenzwert des Labors
doc-oil-no-limit = nicht eingetragen

doc-told = Was Eigner oder Verkäufer sagte
doc-told-says = Wie berichtet, nicht geprüft und nicht bewertet.
doc-told-item = Teil
doc-told-words = Wie berichtet

doc-unseen = Nicht gesehen
doc-unseen-says = Weder in Ordnung noch ein Mangel. Was jedes verbergen könnte, weiß man erst, wenn man es sieht.

doc-definitions = Verwendete Wörter
term-sound = in Ordnung
term-sound-means = Wie es sein soll, so weit es angesehen wurde. Von dem, was nicht zu sehen war, sagt es nichts.
term-early = beginnend
term-early-means = Das erste Zeichen von Verschleiß, noch ohne Wirkung.
term-worn = verschlissen
term-worn-means = Tut noch seinen Dienst; mit anderen Arbeiten zu beheben.
term-failing = versagend
term-failing-means = Tut seinen Dienst nur zum Teil oder nicht mehr lange.
term-failed = ausgefallen
term-failed-means = Tut seinen Dienst nicht mehr.
term-not-seen = nicht gesehen
term-not-seen-means = Gefragt, und niemand konnte hinsehen. Weder in Ordnung noch ein Mangel.
term-reported = wie berichtet
term-reported-means = Eigner oder Verkäufer sagte es. Es wurde nicht geprüft.
term-seen = gesehen, gefolgert, nicht bekannt
term-seen-means = Gesehen: ein Blick dieses Berichts. Gefolgert: aus Alter oder Regel, ohne Blick. Nicht bekannt: weder noch.
term-leaks = Leck I, II, III
term-leaks-means = I ist Feuchte, II sind Tropfen, die hängen, III Tropfen, die fallen; darüber ein Strahl (nach Prüflisten der US-Armee).
term-risk = Risiko
term-risk-means = Wie schlimm die mögliche Folge ist und wie wahrscheinlich in den Stunden und Tagen voraus, nach der Tabelle von MIL-STD-882E, für kleine Fahrzeuge eingestuft. Codes und Zahlen stehen im Anhang.
doc-word-class = { $letter }: { $word }

doc-limits = Grenzen und Verlass
doc-limits-heading = Was jeden Blick begrenzt
doc-reliance = Verlass
doc-lawyer = Diese Sätze sind ein neutraler Entwurf. Ob sie dort gelten, wo der Bericht gebraucht wird, entscheidet ein Anwalt.
reliance-1 = Was dieser Bericht sagt, hat der Genannte an den angegebenen Tagen gesehen oder gemessen. Meinung ist als Meinung gekennzeichnet.
reliance-2 = Er wurde für den genannten Auftraggeber gemacht. Andere dürfen ihn lesen; verlassen dürfen sie sich auf ihn, wenn der Gutachter schriftlich zugestimmt hat, und zu denselben Bedingungen.
reliance-3 = Er spricht von der Maschinenanlage an diesen Tagen, in den beschriebenen Zuständen. Wie lange etwas hält, sagt er nicht.
reliance-4 = Was nicht gesehen wurde, ist aufgelistet. Es kann in Ordnung sein oder nicht; die Liste sagt, wie man es sehen könnte.
reliance-5 = Zerlegt wurde nur, was genannt ist.
reliance-6 = Zahlen von Herstellern und Normen stehen mit ihrer Quelle. Wo sie vom Handbuch des Herstellers abweichen, entscheidet das Handbuch.
reliance-7 = Kosten, falls genannt, sind Schätzungen der genannten Person und kein Angebot.
reliance-8 = Er ist weder Zertifikat noch Wertgutachten und sagt nicht, dass das Boot irgendein Gesetz erfüllt.
reliance-9 = Eine spätere Revision ersetzt eine frühere: Nummer, Revision und Code vergleichen.

doc-revisions = Revisionen
doc-revisions-draft = Noch keine ausgestellt.
doc-revision-kind = Nachtrag { $revision }
doc-revision-plain = Revision { $revision }
doc-what-changed = Was sich geändert hat
doc-why = Warum
doc-withdrawn-heading = Zurückgezogene Befunde
doc-withdrawn-says = Ihre Nummern bekommt kein anderer Befund.

doc-signature = Unterschrift
doc-signature-says = Ich habe diese Besichtigung gemacht, und dies sind meine Befunde und Meinungen.
doc-sign-name = Name
doc-sign-qualification = Qualifikation
doc-sign-place = Ort und Datum
doc-sign-signature = Unterschrift

doc-appendix = Anhang
doc-appendix-says = Risikocodes und Zahlen, Messwerte, jeder Blick, das Verfahren und Fotos, die zu keinem Befund gehören. Am Bildschirm zugeklappt; ein Browser, der es kann, öffnet ihn beim Drucken.
doc-appendix-open = Dieser Browser öffnet ihn nicht von selbst: vor dem Drucken öffnen.
doc-appendix-summary = Anhang öffnen oder zuklappen
doc-risks = Risiko jedes Befunds
doc-risk-code = Code
doc-risk-word = Risiko
doc-risk-why = Wie es zustande kommt
doc-in-time-heading = Befunde im Lauf der Zeit
# What an issued report says of itself. A rung stands by its digit, 0 to 4.
issue-first = Ausgestellt.
issue-added = Befund { $number } kam hinzu: { $title }, { $rung ->
    [0] { grade-sound }
    [1] { grade-early }
    [2] { grade-worn }
    [3] { grade-failing }
   *[other] { grade-failed }
}.
issue-gone = Befund { $number } zurückgezogen: { $title }.
issue-rung = Befund { $number }, { $title }: { $rung ->
    [0] { grade-sound }
    [1] { grade-early }
    [2] { grade-worn }
    [3] { grade-failing }
   *[other] { grade-failed }
} statt { $was ->
    [0] { grade-sound }
    [1] { grade-early }
    [2] { grade-worn }
    [3] { grade-failing }
   *[other] { grade-failed }
}.
issue-stop-changed = Befund { $number }, { $title }: ob er den Betrieb verbietet, hat sich geändert.
issue-words = Befund { $number }, { $title }: das Gesehene lautet anders.
issue-front = Vor den Befunden geändert: { $entries }.
issue-translated = In einer anderen Sprache geschrieben; der Wortlaut des Gesehenen wurde nicht mit dem früheren verglichen.
issue-nothing = Kein Befund ist ein anderer.
issue-adds = Die Befunde stehen wie ausgestellt. { $what }
issue-adds-visit = Ein späterer Besuch, am { $day }, mit eigenen Befunden; die früher ausgestellten stehen, wie sie ausgestellt wurden.
issue-closes = Er erledigt diese Befunde: { $numbers }.
issue-by-assistant = angesehen von { $who }, Gehilfe unter Anleitung
issue-left-out-stop = Das verbietet den Betrieb: { $title }, { $rung ->
    [0] { grade-sound }
    [1] { grade-early }
    [2] { grade-worn }
    [3] { grade-failing }
   *[other] { grade-failed }
}, gesehen am { $day }.
issue-left-out = { $title }, { $rung ->
    [0] { grade-sound }
    [1] { grade-early }
    [2] { grade-worn }
    [3] { grade-failing }
   *[other] { grade-failed }
}, gesehen am { $day }.
issue-left-out-risk = Mit allem, was im Logbuch steht, ist das Risiko dieses Befunds schlimmer als hier: { $title }.
issue-left-out-chore = Vor dem Start zu tun: { $chore }.
issue-left-out-lost = Nicht mitgezählt, so dass alles andere besser sein kann, als es sein sollte: { $why }.

## Sätze, die außerhalb der Berichte zusammengesetzt werden (words/composed)
composed-ranks-about = { $a }, vor etwa { $n } h und { $o } Tagen gesehen; { $b }; es entscheidet: { $c }, { $p } { $d }
composed-ranks = { $a }, vor { $n } h und { $o } Tagen gesehen; { $b }; es entscheidet: { $c }, { $p } { $d }
composed-stops = Stopp: { $a }
composed-rule-confirmed = { $a }; dass daran gearbeitet wurde ({ $b }), hebt keinen Stopp auf, ein neuer Blick darauf schon
composed-rule = { $a } ({ $b }); Stopp ab: { $c }
composed-rule-fuel = Kraftstoff tritt aus; davon ist nichts erlaubt
composed-rule-rose = der Stand ist um { $n } % der Spanne gestiegen, ohne dass nachgefüllt wurde
composed-rule-rose-more = der Stand ist um { $n } % der Spanne mehr gestiegen, als das Nachgefüllte ihn hebt
composed-again = Nach einer Reparatur ist es wiedergekommen
composed-again-times = Nach einer Reparatur ist es { $n }-mal wiedergekommen
composed-unlooked = Repariert und noch nicht wieder angesehen
composed-worn-at-best = Verschlissen, über seine Lebensdauer hinaus und darum höchstens so gut
composed-past-life = { $a } und über seine Lebensdauer hinaus
composed-failed-already = schon ausgefallen
composed-chance = { $n } %, dass es binnen { $o } h und { $p } Tagen ausfällt
composed-owed = steht noch aus: { $a }

## Vor dem Auslaufen (before_leaving); die Sätze setzt defects/leaving_said zusammen
section-leaving = Vor dem Auslaufen
leaving-plan = Geplant ist { $plan }: { $ahead }.
leaving-before = Davor: { $means }
leaving-work = { $time } Arbeitszeit
leaving-spend = { $sum } an Geld
leaving-hands = durch { $hands }
leaving-ashore = { $days } Tage an Land
leaving-not-in = Nicht darin
col-leaving-what = Was und warum
col-leaving-mind = Zu beachten
col-leaving-takes = Was es braucht
composed-time = { $n } h { $o } min
composed-time-minutes = { $n } min
composed-time-hours = { $n } h
composed-ahead-a-day = { $n } h und { $o } Tage, { $p } h am Tag; Gewässer: { $a }
composed-ahead = { $n } h und { $o } Tage; Gewässer: { $a }
composed-leaving-first = Schlüssel gezogen, Motor steht und ist kalt, jedes Seeventil bekannt, bevor Hände hineingreifen. Das Handbuch des Herstellers geht all dem vor
composed-leaving-must = Muss getan sein, bevor sie ausläuft
composed-leaving-worth = Lohnt sich
composed-leaving-left = Bleibt, obwohl es vor Ende dieser Fahrt behoben sein sollte
composed-leaving-wait = Kann warten, und was damit bleibt
composed-leaving-ashore = Was sie außer Wasser braucht
composed-leaving-ashore-none = Nichts im Logbuch verlangt, dass sie aus dem Wasser kommt
composed-leaving-look = Anzusehen:
composed-leaving-letter = Als Brief, und dieselbe Liste zurück: handlamp yard
composed-leaving-confirm = behoben, und seither hat niemand hingesehen
composed-leaving-not-listed = nicht auf dieser Liste, weil der Katalog keine Zeile dafür hat: Anstrich, Ruder und Borddurchlässe, die nicht zur Maschine gehören; ansehen, solange sie steht
composed-leaving-must-none = Nichts im Logbuch muss vorher getan werden
composed-leaving-worth-none = Mehr geht nicht in die Zeit, oder es bringt nichts
composed-leaving-wait-none = Nichts im Logbuch
composed-leaving-do = Zu tun:
composed-leaving-about = Etwa
composed-leaving-once = dazu einmal für alles dahinter:
composed-leaving-unsaid = Wie lange es dauert, hat niemand gesagt
composed-leaving-above = Mit dem oben Genannten erledigt
composed-leaving-took = Dauerte
composed-leaving-one = einmal
composed-leaving-two = zweimal
composed-leaving-times = Mal
composed-leaving-own = nach eigener Angabe
composed-leaving-other-hands = nicht von denen, die da sind
composed-leaving-parts = Teile:
composed-leaving-either = Beides geht: Die Wahl ist eine andere, wo etwas doppelt oder halb so schnell verschleißt wie angenommen
composed-leaving-drops = Fällt weg, wenn die Arbeit anderthalbmal so lange dauert
composed-leaving-until = Aufgeschoben bis
composed-leaving-ends = es sollte vor Ende dieser Fahrt behoben sein
composed-leaving-leaves = es bleibt:
composed-leaving-for = zuständig ist:
composed-leaving-no-minutes = wie lange es dauert, hat niemand gesagt: handlamp minutes ITEM TIME
composed-leaving-left-out = ausgelassen
composed-leaving-gains-nothing = es zu beheben, nimmt nichts von dem weg, was hier als ernst zählt
composed-leaving-worth-less = andere Arbeit bringt mehr mit dem, was da ist
composed-leaving-worth-less-hands = andere Arbeit bringt mehr in den Stunden dieser Hände
composed-leaving-ages = Alter nicht bekannt, und auf See zu beheben
composed-leaving-before-start = es kommt, bevor der Motor läuft
composed-leaving-asked = so gewünscht
composed-leaving-temporary = eine Notreparatur, bis { $a }, ist nicht von Dauer
composed-leaving-unlooked = behoben am { $a }, und seither hat niemand hingesehen
composed-leaving-do-not-start = Motor nicht starten
composed-leaving-do-not-leave = nicht auslaufen
composed-leaving-sums-of = Was getan sein muss, dauert etwa { $a }, was sich lohnt, { $b }, von { $c }
composed-leaving-sums = Was getan sein muss, dauert etwa { $a }, was sich lohnt, { $b }
composed-leaving-once-done = Wenn getan ist, was getan sein muss:
composed-leaving-takes-same = Von den Schwierigkeiten, die diese Liste sehen kann, nehmen diese { $a } etwa { $b } weg, und etwa ebenso viel, wo etwas doppelt oder halb so schnell verschleißt wie angenommen
composed-leaving-takes = Von den Schwierigkeiten, die diese Liste sehen kann, nehmen diese { $a } etwa { $b } weg, zwischen { $c } und { $d }, wo etwas doppelt oder halb so schnell verschleißt wie angenommen
composed-leaving-by-order = Einfach eines nach dem anderen zu nehmen, was je Minute am meisten bringt, nähme etwa { $a } weg: Die bessere Wahl passt im Ganzen zu Zeit und Geld
composed-leaving-trouble = Schwierigkeiten sind hier, was in diesen Gewässern ernst wäre oder sie ohne Antrieb ließe; wie schnell etwas verschleißt, ist Ermessen, wo das Boot nichts gelehrt hat
composed-leaving-not-proved = Es ist die beste gefundene Wahl; dass es keine bessere gibt, ist nicht bewiesen
composed-leaving-stands-all = Dauert alle Arbeit anderthalbmal so lange, bleibt die Wahl dieselbe
composed-leaving-stands-some = Dauert alle Arbeit anderthalbmal so lange, bleiben { $n } von diesen { $o }
composed-leaving-stands-none = Dauert alle Arbeit anderthalbmal so lange, bleibt davon keine
composed-leaving-short = Das allein dauert { $a } länger, als Zeit ist: Sie läuft nicht aus, bevor es getan ist
composed-leaving-not-here = Ruderanlage, Rigg, Elektronik, Wetter und Mannschaft stehen nicht auf dieser Liste: Sie sieht nur den Motorraum
composed-leaving-unseen = { $n } Punkte, die noch niemand angesehen hat, sind nicht gewogen: Was sie verbergen, kommt hinzu
composed-leaving-looks = { $n } Blicke auf Gefundenes werden vor Ende der Fahrt fällig: handlamp due
composed-leaving-former = Befunde eines früheren Eigners sind so gewogen, wie sie erzählt wurden
composed-leaving-no-estimate = { $n } Arbeiten haben keine Schätzung und fehlen im Geld: handlamp cost ITEM
composed-leaving-judged = Minuten sind Ermessen, wo keine eigenen gesagt sind und keine solche Arbeit gemessen ist; was an Bord ist, steht hier, wie es das Logbuch vom Schapp weiß: vor dem Verlass darauf jedes ansehen
share-next-to-nothing = fast nichts
share-a-tenth = ein Zehntel
share-a-fifth = ein Fünftel
share-a-quarter = ein Viertel
share-a-third = ein Drittel
share-two-fifths = zwei Fünftel
share-half = die Hälfte
share-three-fifths = drei Fünftel
share-two-thirds = zwei Drittel
share-three-quarters = drei Viertel
share-four-fifths = vier Fünftel
share-nine-tenths = neun Zehntel
share-nearly-all = fast alles
