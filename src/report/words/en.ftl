# The words of a report in English. One message a thing said; what is filled in stands in braces.

photographs-left-out = { $n ->
    [one] { $n } photograph cannot be read and is left out.
   *[other] { $n } photographs cannot be read and are left out.
}

# The rungs of every ladder, sound first.
rung-sound = sound
rung-early = early
rung-worn = worn
rung-failing = failing
rung-failed = failed
