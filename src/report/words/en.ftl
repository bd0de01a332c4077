# The words of a report in English. One message a thing said; what is filled in stands in braces.

photographs-left-out = { $n ->
    [one] { $n } photograph cannot be read and is left out.
   *[other] { $n } photographs cannot be read and are left out.
}

# What an issued report says of itself. A rung stands by its digit, 0 to 4.
issue-first = Issued.
issue-added = Finding { $number } added: { $title }, { $rung ->
    [0] sound
    [1] early
    [2] worn
    [3] failing
   *[other] failed
}.
issue-gone = Finding { $number } withdrawn: { $title }.
issue-rung = Finding { $number }, { $title }: { $rung ->
    [0] sound
    [1] early
    [2] worn
    [3] failing
   *[other] failed
} instead of { $was ->
    [0] sound
    [1] early
    [2] worn
    [3] failing
   *[other] failed
}.
issue-stop-changed = Finding { $number }, { $title }: whether it forbids running has changed.
issue-words = Finding { $number }, { $title }: what was seen of it reads otherwise.
issue-front = Changed before the findings: { $entries }.
issue-nothing = No finding is another.
issue-adds = Findings stand as issued. { $what }
issue-adds-visit = A later visit, on { $day }, with findings of its own; those issued before stand as they were issued.
issue-closes = It closes these findings: { $numbers }.
issue-by-assistant = looked at by { $who }, an assistant under instruction
issue-left-out-stop = On record and not among these findings, and it forbids running: { $title }, { $rung ->
    [0] sound
    [1] early
    [2] worn
    [3] failing
   *[other] failed
}, seen on { $day }.
issue-left-out = On record and not among these findings: { $title }, { $rung ->
    [0] sound
    [1] early
    [2] worn
    [3] failing
   *[other] failed
}, seen on { $day }.
issue-left-out-risk = With all that is on record the risk of this finding is worse than here: { $title }.
issue-left-out-chore = On record and not in this report, to be done before starting: { $chore }.
issue-left-out-lost = On record and not counted, so that all else may be better than it should be: { $why }.
