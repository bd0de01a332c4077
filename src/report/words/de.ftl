# Die Wörter eines Berichts auf Deutsch.

photographs-left-out = { $n ->
    [one] { $n } Foto ist nicht lesbar und fehlt hier.
   *[other] { $n } Fotos sind nicht lesbar und fehlen hier.
}

# What an issued report says of itself. A rung stands by its digit, 0 to 4.
issue-first = Ausgestellt.
issue-added = Befund { $number } kam hinzu: { $title }, { $rung ->
    [0] in Ordnung
    [1] beginnend
    [2] verschlissen
    [3] versagend
   *[other] ausgefallen
}.
issue-gone = Befund { $number } zurückgezogen: { $title }.
issue-rung = Befund { $number }, { $title }: { $rung ->
    [0] in Ordnung
    [1] beginnend
    [2] verschlissen
    [3] versagend
   *[other] ausgefallen
} statt { $was ->
    [0] in Ordnung
    [1] beginnend
    [2] verschlissen
    [3] versagend
   *[other] ausgefallen
}.
issue-stop-changed = Befund { $number }, { $title }: ob er den Betrieb verbietet, hat sich geändert.
issue-words = Befund { $number }, { $title }: das Gesehene lautet anders.
issue-front = Vor den Befunden geändert: { $entries }.
issue-nothing = Kein Befund ist ein anderer.
issue-adds = Die Befunde stehen wie ausgestellt. { $what }
issue-adds-visit = Ein späterer Besuch, am { $day }, mit eigenen Befunden; die früher ausgestellten stehen, wie sie ausgestellt wurden.
issue-closes = Er erledigt diese Befunde: { $numbers }.
issue-by-assistant = angesehen von { $who }, Gehilfe unter Anleitung
issue-left-out-stop = Im Logbuch, nicht unter diesen Befunden, und es verbietet den Betrieb: { $title }, { $rung ->
    [0] in Ordnung
    [1] beginnend
    [2] verschlissen
    [3] versagend
   *[other] ausgefallen
}, gesehen am { $day }.
issue-left-out = Im Logbuch und nicht unter diesen Befunden: { $title }, { $rung ->
    [0] in Ordnung
    [1] beginnend
    [2] verschlissen
    [3] versagend
   *[other] ausgefallen
}, gesehen am { $day }.
issue-left-out-risk = Mit allem, was im Logbuch steht, ist das Risiko dieses Befunds schlimmer als hier: { $title }.
issue-left-out-chore = Im Logbuch und nicht in diesem Bericht, vor dem Start zu tun: { $chore }.
issue-left-out-lost = Im Logbuch und nicht mitgezählt, so dass alles andere besser sein kann, als es sein sollte: { $why }.
