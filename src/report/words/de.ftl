# Die Wörter eines Berichts auf Deutsch.

photographs-left-out = { $n ->
    [one] { $n } Foto ist nicht lesbar und fehlt hier.
   *[other] { $n } Fotos sind nicht lesbar und fehlen hier.
}

# Die Seite einer Besichtigung als Dokument, und der Rahmen jeder Seite.

page-skip = Direkt zu den Befunden
page-skip-all = Direkt zum Ergebnis
page-contents = Inhalt
page-table = Tabelle: { $name }
page-caution = Vorsicht:
page-before-start = Vor dem Starten
page-tell-today = Verbietet den Betrieb: dem Eigner noch am selben Tag sagen
page-first = Zuerst zu beheben
page-stop = Verbietet den Betrieb
page-summary = Zusammenfassung
page-places = Wo alles ist
page-stations = Stationen
page-defects = Mängel, die schlimmsten zuerst
page-no-defects = Keiner ist offen.
page-observed = Festgestellt
page-opinion = Meinung und Rat
page-nothing-new = Nichts Neues: Sein Alter oder eine Regel spricht.
page-other-photographs = Weitere Fotos
page-no-caption = Ohne Beschriftung
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
fact-machine = Maschine
fact-walked = Besichtigt
fact-walked-by = Gegangen von
fact-assistant = { $by }, Gehilfe nach Anweisung des Gutachters
fact-nobody = niemand genannt
fact-made = Geschrieben
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
doc-not-in-it = Von anderen aufgezeichnet und nicht in diesem Bericht

doc-findings = Befunde
doc-findings-say = Die schlimmsten zuerst. Was gesehen oder gemessen wurde, steht getrennt von der Meinung darüber.
doc-findings-none = An dem, was angesehen wurde, fand sich kein Mangel.
doc-place-of = { $station }, { $machine }
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
doc-recommended = Empfohlen
doc-see-recommendation = Empfehlung { $n }
doc-deferred = Vom Eigner aufgeschoben
state-open = offen
state-deferred = aufgeschoben
state-repaired = behoben, noch nicht wieder angesehen
state-confirmed = behoben und in Ordnung gesehen
state-temporary = vorläufig behoben
state-withdrawn = zurückgezogen
engine-cold = kalt
engine-dead = steht, Starten verhindert
engine-key-on = Zündung an, Motor steht
engine-crank = dreht am Anlasser
engine-first-minute = erste Minute des Laufs
engine-idle = Leerlauf, ausgekuppelt
engine-fast = erhöhte Drehzahl, ausgekuppelt
engine-in-gear = eingekuppelt
engine-under-way = in Fahrt, Last
engine-full-throttle = Vollgas
engine-just-stopped = eben abgestellt, heiß
engine-settled = steht, abgekühlt
engine-next-morning = am nächsten Morgen, kalt
effect-fire = Feuer
effect-exhaust-gas = Abgas, wo Menschen atmen
effect-flooding = Wassereinbruch
effect-loss-of-control = Verlust der Kontrolle
effect-injury = Verletzung
effect-loss-of-safeguard = Alarm, Löscher oder Pumpe fehlt, wenn man sie braucht
effect-loss-of-propulsion = Verlust des Antriebs
effect-engine-damage = Motorschaden
effect-loss-of-starting = startet oder lädt nicht
effect-pollution = Öl oder Kraftstoff im Wasser
effect-nuisance = Belästigung

doc-plan = Wo die Befunde sind
doc-plan-says = Für kein bestimmtes Boot gezeichnet, außer wo der Ort angegeben ist. Eine Zahl ist die ihres Befunds. Ring: gesehen, kein Befund; schraffiert: nicht gesehen.

doc-recommendations = Empfehlungen
doc-recommendations-say = In der Reihenfolge ihrer Klasse. All dies ist Rat: Was das Gesetz verlangt und was im Handbuch des Herstellers steht, geht vor.
doc-no-recommendations = Keine.
doc-rec-number = Nr.
doc-rec-finding = Befund
doc-rec-item = Teil
doc-rec-what = Was zu tun ist
doc-rec-who = Wer, wo
doc-rec-when = Bis wann
doc-rec-proof = Erledigt, wenn
doc-cautions = Vorsicht bei der Arbeit

doc-oil = Ölproben
doc-oil-says = Worte und Zahlen des Labors, nicht des Gutachters. Die Grenzwerte sind die des Labors. Eine Probe ist ein Augenblick, und frisches Öl verbirgt.
doc-oil-none = Über eine Ölprobe ist nichts aufgezeichnet.

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
doc-term = Wort
doc-meaning = Bedeutung
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
doc-withdrawn-number = Nummer
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
doc-risk-number = Nr.
doc-risk-code = Code
doc-risk-word = Risiko
doc-risk-why = Wie es zustande kommt
doc-in-time-heading = Befunde im Lauf der Zeit
page-drawing = Wo alles ist, { $view }; die Tabelle darunter sagt dasselbe in Worten
page-view-above = von oben, Steuerbord oben
page-view-side = von der Seite, von Backbord gesehen
page-forward = vorn
page-aft = achtern
