# Die Wörter eines Berichts auf Deutsch.

photographs-left-out = { $n ->
    [one] { $n } Foto ist nicht lesbar und fehlt hier.
   *[other] { $n } Fotos sind nicht lesbar und fehlen hier.
}
