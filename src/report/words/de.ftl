# Die Wörter eines Berichts auf Deutsch.

photographs-left-out = { $n ->
    [one] { $n } Foto ist nicht lesbar und fehlt hier.
   *[other] { $n } Fotos sind nicht lesbar und fehlen hier.
}

# Die Stufen jeder Leiter, von gut nach schlecht (checklists/words/de/README.md).
rung-sound = in Ordnung
rung-early = erste Anzeichen
rung-worn = verschlissen
rung-failing = kurz vor dem Ausfall
rung-failed = ausgefallen
