# The words of a report in English. One message a thing said; what is filled in stands in braces.

## Of photographs that a page leaves out
photographs-left-out = { $n ->
    [one] { $n } photograph cannot be read and is left out: { $names }.
   *[other] { $n } photographs cannot be read and are left out: { $names }.
}

## Dates
date = { $day } { $month } { $year }
date-month = { $month } { $year }
date-moment = { $day }, { $time }
month-1 = January
month-2 = February
month-3 = March
month-4 = April
month-5 = May
month-6 = June
month-7 = July
month-8 = August
month-9 = September
month-10 = October
month-11 = November
month-12 = December
now = now

## Units that are words
unit-rpm = rpm
unit-drops = drops/min
unit-celsius = C
unit-fahrenheit = F
unit-celsius-rise = dC
unit-fahrenheit-rise = dF
unit-us-gallon = gal
unit-us-quart = qt
unit-imp-gallon = imp-gal
unit-imp-quart = imp-qt
unit-imp-pint = imp-pt
unit-gallons = gal/min
unit-horsepower = hp
unit-foot = ft
unit-inch = in
one-in = 1 in { $many }

## Words that records spell
grade-sound = sound
grade-early = early
grade-worn = worn
grade-failing = failing
grade-failed = failed
risk-high = high
risk-serious = serious
risk-medium = medium
risk-low = low
risk-eliminated = eliminated
severity-catastrophic = catastrophic
severity-critical = critical
severity-marginal = marginal
severity-negligible = negligible
verdict-clear-to-run = clear to run
verdict-nothing-seen-against-starting = nothing seen against starting
verdict-run-with-care = run with care
verdict-do-not-leave = do not leave
verdict-do-not-run = do not run
verdict-signed-off = signed off
verdict-signed-off-with-recheck = signed off with recheck
verdict-not-signed-off = not signed off
waters-sheltered = sheltered
waters-inshore = inshore
waters-offshore = offshore
waters-ocean = ocean
effect-fire = fire
effect-exhaust-gas = exhaust gas
effect-flooding = flooding
effect-loss-of-control = loss of control
effect-injury = injury
effect-loss-of-safeguard = loss of safeguard
effect-loss-of-propulsion = loss of propulsion
effect-engine-damage = engine damage
effect-loss-of-starting = loss of starting
effect-pollution = pollution
effect-nuisance = nuisance
leak-none = none
leak-i = I
leak-ii = II
leak-iii = III
leak-stream = stream
engine-cold = cold
engine-dead = dead
engine-key-on = key on
engine-crank = crank
engine-first-minute = first minute
engine-idle = idle
engine-fast = fast
engine-in-gear = in gear
engine-under-way = under way
engine-full-throttle = full throttle
engine-just-stopped = just stopped
engine-settled = settled
engine-next-morning = next morning
mark-chafe = chafe
mark-wear = wear
mark-corrosion = corrosion
mark-crack = crack
mark-heat = heat
mark-contamination = contamination
mark-loose = loose
where-under-way = under way
where-at-anchor = at anchor
where-in-port = in port
where-hauled-out = hauled out
who-owner = owner
who-mechanic = mechanic
who-electrician = electrician
who-yard = yard
state-open = open
state-deferred = deferred
state-repaired = repaired
state-confirmed = confirmed
state-temporary = temporary
state-withdrawn = withdrawn
anew-repair = repair
anew-fitted = fitted
anew-service = service
anew-cleaned = cleaned
anew-adjusted = adjusted

## Title and first facts
title-walk = { $boat }: { $walk }
title-logbook = { $boat }: the engine room as of { $day }
fact-boat = Boat
fact-waters = Usual waters
fact-machine = Machine
machine-hours = { $name } ({ $id }), { $hours }
machine-about = { $name } ({ $id }), about { $hours }
fact-purpose = Purpose
fact-begun = Begun
fact-finished = Finished
not-finished = not finished
fact-by = By
not-stated = not stated
fact-meter = Hour meter
not-read = not read
fact-walk = Walk
fact-spite = Over a stop
spite-reason = The engine was run in spite of { $rows }; reason given: { $why }
spite-no-reason = The engine was run in spite of { $rows }; no reason given
fact-made = Report made

## Verdict and summary
verdict-gone = Verdict at the walk: { $then }; none as of now: { $why }.
verdict-both = Verdict at the walk: { $then }; as of now: { $now }.
verdict-is = Verdict: { $now }.
of-item = { $item }: { $said }
said-then = Said when it ended: { $verdict }, by { $build }
said-counts-now = Counts now and did not then, record: { $records }
said-counts-no-longer = Counted then and does not now, record: { $records }
said-profile = Another profile was in force than was known then
said-program = Another build of the program reckons it
said-no-record = Why that is not what is reckoned today, no record tells
before-you-start = Before you start
summary-title = Summary
summary = { $seen } of { $asked } items were seen. { $found }
summary-none = No defect is open.
summary-open = Open defects by risk: { $risks }.
summary-open-repaired = Open defects by risk: { $risks }; { $n } of them repaired and to be looked at.
tell-today = Forbids running: tell the owner the same day
first-to-put-right = First to put right
defect-line = { $title } ({ $station }), { $rung }, { $risk } risk ({ $code }): { $remedy }

## Defects
defects-title = Defects, worst first
defects-none = None is open.
ranked-over = Ranked over { $hours } running hours and { $days } days ahead in { $waters } waters. Dates follow from the usual rate of use.
defect-standing = { $rung }; risk { $risk } ({ $code }); { $station }, { $machine }; { $state } since { $day }.
the-boat = the boat
forbids-running = Forbids running
on-the-drawing = On the drawing
observed = Observed
observed-nothing = Nothing new: its age or a rule speaks.
opinion = Opinion and advice
caution = Caution: { $says }
other-photographs = Other photographs

## What was observed
of-rung = { $rung }: { $looks }
value-of-rung = { $value } ({ $digit })
look-joined = Came in
look-leak = Leak class
look-measured = Measured
look-added = Added
look-marks = Marks
look-kind = Kind
look-note = Note
look-said = Owner or seller said, not graded
look-why = Why this rung
look-seen = Seen
look-photo = Photograph
times-as-last = { $n } x as last time
photo-named = { $caption } ({ $path })
photo-no-caption = no caption
photo-none = No caption
mark-at = { $mark } at { $place }
mark-against = { $mark } against { $other }
not-seen = not seen
not-seen-why = not seen: { $why }
no-reason = no reason given
not-graded = not graded in any walk

## What is thought of it
advice-why = Why here
advice-effect = May follow
advice-remedy = Put right by
advice-who = Who, where
advice-parts = Parts
advice-fix = Fix within
advice-again = Look again within
advice-deferred = Deferred
who-where = { $who }, { $place }
fix-stop = before the engine runs again
fix-repaired = repaired; to be looked at
fix-convenient = when convenient
wait-now = now
wait-decades = 20 years or more
wait-hours = { $n ->
    [one] 1 running hour
   *[other] { $n } running hours
}
wait-by = by { $day }
wait-idle = { $hours } of running, no limit at this use
wait-never = no limit at this use
advise-look-again = repaired; look at it again
advise-next-walk = at the next walk
advise-next-walker = whoever walks next
advise-proof-look = a look that finds it sound
advise-proof-repair = the repair on record, and a look afterwards that finds it sound
advise-access = whoever can give access
advise-before-relying = before anyone relies on it
advise-proof-grade = a look with a grade

## Ladder in time
ladder-key = Under each its ladder in time: each digit is a look and its rung, dots are a look not made; an upright stroke is a repair (R) or, broken, a temporary one (T), or what was closed by word (W) or taken out (X); w is a wear mark, n a note, ? a look not taken, G the day she was given on, before which all is a former owner's word. Right of the line that is now, L is when to look again and F by when to fix; the darker the shade of a rung, the surer it is met: it may be, it is likelier than not, it is all but sure (judgement).
ladder-title = { $item } in time: its rungs from sound at the top to failed at the foot
graded-never = Nobody has graded it yet.
graded = Graded { $times } since { $day }.
graded-not-seen = Graded { $times } since { $day }, asked and not seen { $unseen }.
times = { $n ->
    [1] once
    [2] twice
   *[other] { $n } times
}
turn = { $what } { $day }
turns-before = after { $n } turns before: { $turns }
expected = Expected, at 5, 50 and 95 chances in a hundred: { $rungs }.
ahead-rung = { $rung } or worse { $met }
ahead-failed = { $rung } { $met }
met-perhaps-already = perhaps already
met-perhaps-from = from { $when }
met-perhaps-decades = perhaps in more than 20 years
met-likely-already = likelier than not already
met-likely-by = likelier than not by { $when }
met-likely-decades = likelier than not in more than 20 years
met-sure-already = all but sure already
met-sure-by = all but sure by { $when }
met-sure-decades = all but sure in more than 20 years
hours-of-running = { $hours } h of running
mark-said = { $sign } { $day }: { $says }
happened-look = look
happened-wear = wear mark
happened-note = note
happened-not-seen = not seen
happened-not-taken = look not taken
happened-put-right = put right
happened-temporary = temporary repair
happened-withdrawn = withdrawn
happened-taken-out = taken out
happened-given-on = given on, before it a former owner's word

## Headings of sections
section-not-counted = Not counted
section-scope = Scope
section-limitations = Limitations
section-agreed = Agreed beforehand
section-told = Unsafe findings, and who was told
section-not-seen = Not seen
section-coverage = Coverage
section-behind = What may be behind it
section-recommendations = Recommendations
section-costs = Costs
section-readings = Readings
section-trial = Sea trial
section-work = Recurring work
section-method = How the numbers come about
section-cautions = Cautions
section-seal = Seal of the records
looks-of-walk = Appendix: every look of the walk
looks-last = Appendix: the last look at each item
looks-none = None was made.
stations = Stations
places-title = Where things are
where-findings = Where the findings are

## Columns
col-item = Item
col-value = Value
col-rung = Rung
col-phase = Phase
col-speed = Engine speed
col-when = When
col-where = Where
col-seen = What was seen
col-station = Station
col-worst = Worst rung
col-seen-of = Seen
col-no = No.
col-finding = Finding
col-why = Why
col-close = What would close the gap
col-rule = Rule
col-found = Found
col-told = Told
col-told-at = Told at
col-severity = Worst severity
col-items = Items
col-never = Never seen
col-mean-worn = Worn or worse, in the mean
col-mean-fail = Fail, in the mean
col-any-fail = At least one fails
col-what = What to do
col-who = Who, where
col-by-when = By when
col-rank = Rank
col-risk = Risk
col-low = Low
col-likely = Likely
col-high = High
col-mean = Mean
col-rests = Rests on
col-due = What
col-machine = Machine
col-over = Over by
col-work = Work
col-date = Date
col-meter = Meter
col-by = By
col-parts = Parts and note
col-passes = What passes
col-source = Source
so-many-of = { $n } of { $all }

## Scope and limits
scope-looked = Looked at with eye, lamp and hand, from the hatch and as far in as arms and head reach.
scope-part = { $part } (engine: { $state })
scope-parts = Parts walked: { $parts }.
scope-counts = { $looks } looks, { $readings } readings, { $photographs } photographs.
scope-blind = Walked blind: what earlier walks had found was out of sight of each item until its look was made.
scope-guest = Walked by a guest: what was seen lifts nothing and confirms no repair.
scope-guest-named = Walked by a guest, { $who }: what was seen lifts nothing and confirms no repair.
scope-after = Walked first and typed in afterwards.
scope-logbook = Every look on record up to { $at }, from { $n } walks.
limit-1 = Nothing was taken apart beyond what a look names. What lies behind linings, lagging, tanks and castings was not seen.
limit-2 = The inside of the engine was not seen: compression, bearings, bores and valves are beyond this report.
limit-3 = The condition is that of the day. Nothing here says how long a part will last.
limit-4 = Poor light, clutter, a flat battery, an engine warmed beforehand or a swell limit what can be told.
limit-5 = An item that was not seen is neither sound nor a defect. Each stands in its own list with what would close the gap.
limit-6 = A measured value is as good as the instrument, which was not calibrated for this look unless a note says so.
limits-english = Parts of this report are in English, since the program has them in no other language yet: names and words of items, rungs, cautions and remedies that have not been put into its language, what is to be done before starting, why a finding stands where it does, the reasons of a verdict, what is not counted, what may be behind the findings, why work is due, and what readings and expectations rest on. On a page each is marked as English.
not-counted-about = These things are on record and count in nothing below, which may be better than it should be.
not-seen-none = Everything asked was seen.
method-1 = Each item is graded on a ladder of five rungs: sound, early, worn, failing, failed. The words of the rung are written for that very item.
method-2 = From the rung seen, the hours and days since, and the hours and days ahead, a chance of failure is reckoned with a chain of rungs. How long things stay on a rung is this program's own judgement, not data of this boat, unless the boat has taught otherwise.
method-3 = What may follow a failure has a severity from 1 (catastrophic) to 4 (negligible), scaled for small craft after Table I of MIL-STD-882E. The chance gives a level from A to F by the bands of its Table A-II. The two give a risk by its Table III.
method-4 = Defects are ordered by one thing after another: whether a stop rule is in force, risk, severity, chance. No scores are multiplied.
method-5 = 'Fix within' is the longest stretch at which the risk still stays below the next one that calls for repair. It is an aid to planning and no permission to wait.
method-6 = Leak classes: I is dampness, II drops that hold, III drops that fall (US Army operator checks); a stream is added.
caution-1 = The maker's handbook, local codes and licensed practice stand above everything written here.
caution-2 = Stop the engine, take the key and let hot parts cool before hands go in. Belts, shafts and fans start without warning.
caution-3 = Fuel under pressure cuts skin: search with card, never with a hand. Fuel and vapour burn: no flame, no spark, extinguisher at the hatch.
caution-4 = Open nothing on the sea side without a way to close it again.
caution-5 = Exhaust gas kills unseen. If an alarm sounds or heads ache, stop the engine, open up and go into fresh air.
closing = This report records what was seen and measured. It is no certificate, no warranty and no permission to run.

## Agreed and told
agreed-runs = Who runs the engine
agreed-open = What may be opened
agreed-samples = Which samples may be taken
agreed-throttle = Full throttle
agreed-arrival = The engine on arrival, cold or warm
agreed-started = Who started her
agreed-not-noted = not noted
agreed-not = not agreed
told-nobody = nobody on record
told-late = { $at }, after the day it was found

## Coverage
coverage = Seen: { $seen } of { $asked } items, { $plain }. With each item counted 8, 4, 2 or 1 by the worst its failure can do: { $weighted }.
hidden = What the items not seen could hide
hidden-about = Over { $hours } running hours and { $days } days ahead. What nobody has ever looked at is taken to be { $worn } worn, { $failing } failing and { $failed } failed. These shares are judgement. They know nothing of this boat, and no figure stands in for looking.

## Opinion, recommendations, costs
behind-about = An opinion on what was seen, and no finding: it changes no grade, no rank and no verdict. { $judgement }
recommendations-about = In the order of the defects, what forbids running first; then what would close the gaps. A repair is done when it is on record and a later look finds the item sound. All this is advice: what the law or the handbook asks for stands above it.
cost-stop = STOP
no-estimate = no estimate
costs-without = Without an estimate, and in no total: { $n } of { $all }.
costs-about = Estimates are those of whoever made them. What nobody has seen is in none of them, nor is what comes to light when things are opened.
costs-mean = Total of { $n } estimate(s): { $mean } in the mean.
costs-independent = Eight times in ten from { $low } to { $high }, if one job says nothing of another.
costs-dependent = Eight times in ten from { $low } to { $high }, if all turn out dear or cheap together, as with one yard or one neglect behind them.
costs-ends = The sums of the low and of the high figures, { $low } and { $high }, are the ends of what was estimated and hardly ever met.

## Places
places-about = Drawn for no boat in particular, but for what the owner put where it is. A ring: seen, and no finding; hatched: not seen; a number leads to its finding.
places-label = Where things are, { $view }; the table says the same in words
place-not-told = not told; drawn where it often is
place-at = { $along }, { $across }
place-at-height = { $along }, { $across }, { $height }
along-forward = forward of the engine
along-forward-end = at the engine's forward end
along-beside = beside the engine
along-aft-end = at the engine's aft end
along-aft = aft of the engine
across-amidships = amidships
across-starboard = to starboard
across-port = to port
height-low = low
height-high = high
view-above = from above, starboard up
view-side = from the side, seen from port
forward = forward
aft = aft

## Sea trial
trial-about = A row is an engine speed, and a look at one stands for no other. Each value has the digit of its rung. "Not asked": not at this speed. "Asked once": seen at another speed of the same part of the walk. "Not read": asked, and nothing is on record.
trial-no-rated = Her rated speed is not on record, so that no share of it is told.
trial-grid = Sea trial by engine speed
trial-columns = Sea trial by engine speed, columns { $first } to { $last } of { $all }
trial-pass = What the readings are held against
trial-pass-lines = Pass lines of the sea trial; the maker's handbook outranks them
climbing = { $item }, { $at }: { $said }
cell-not-asked = not asked
cell-once = asked once
cell-not-read = not read
no-phase = no phase named
speed-not-told = { $name }, speed not told

## Readings in time
chart-label = Readings of { $item } in time
chart-digits = Each digit is a reading and the rung given with it.
chart-not-from-0 = The scale does not begin at 0.
chart-line = The line is a Theil–Sen line, dotted beyond the readings.
chart-fan = The thin lines lead to the limit at the earliest and at the latest.
chart-dots = The denser the dots, the worse the rung a value there means.
chart-topped-up = A + is what was topped up, broken upright where its rise is known.
chart-anew = The dotted upright is where the series began anew ({ $by }).
chart-pause = A bracket on the axis is a long time without a reading.
chart-readings = { $n } readings in { $unit } over { $over }.
chart-readings-state = { $n } readings in { $unit } over { $over }, engine { $state }.
chart-earlier = { $n } earlier readings belong to a series before.
over-axis-hours = running hours
over-axis-days = days
axis-hours = running hours
axis-date = date
no-reading = no reading
trend-no-rung-ahead = No worse rung lies ahead of it
trend-dates = Dates by the rate of use, { $rate }
trend-per-hours = 100 h
trend-per-days = 30 days
trend-slope = Slope { $slope } { $unit } per { $per }
trend-slope-between = Slope { $slope } { $unit } per { $per } ({ $share } %: { $low } to { $high })
trend-rising = Rising
trend-falling = Falling
trend-none = No trend is called
trend-exact = exact
trend-normal = normal
trend-p-below = below { $p }
trend-call = { $call }: chance without a trend { $p } ({ $method }), { $pairs }, { $n } points tested
trend-limit = { $rung } at { $value } { $unit }
trend-reached = By the line it has reached { $limit } since the last reading
trend-reaches = Reaches { $limit } about { $about }
trend-not-before = not before { $when }
trend-no-interval = no interval is known
trend-not-after = not after { $when }
trend-perhaps-never = perhaps never
topped-up = Topped up { $n } time(s), { $volume } in { $hours } h watched: { $rate }
topped-up-rate = { $volume } per 100 h
topped-up-no-hours = no running hours to set it against
rate = { $hours } h a day, by { $by }
rate-between = { $hours } h a day (90 %: { $low } to { $high }), by { $by }
rate-recent = meter readings of the last 180 days
rate-all = all meter readings
rate-profile = the usual hours of a month
when-now = now
when-hours = in { $hours } h
when-meter = meter { $meter }
when-no-date = no date

## Work and seal
work-due = Due
work-done = Last done
over-hours = { $n } h
over-days = { $n } days
due-now = due now
seal-stands = It stands for { $n } records. To check it: handlamp logbook verify-seal, with the code.
seal-stands-last = It stands for { $n } records, the last of { $at }. To check it: handlamp logbook verify-seal, with the code.
seal-proves = A seal proves to whoever kept the code that the records are the same as when it was made. It does not prove who made them, when, or that they are true. Profile file and pictures are not in it.
# The page of a survey as a document, and the frame of every page.

page-skip = Skip to the findings
page-skip-all = Skip to what was found
page-contents = Contents
page-table = Table: { $name }
page-photograph-of = Photograph { $number } of { $title }: { $caption }
page-photograph-plain = Photograph of { $title }: { $caption }
page-number-of = Page { $page } of { $pages }
page-digest = Digest
page-draft = Draft, not issued

doc-kind = Machinery condition report
doc-title = { $boat }: machinery condition report, { $day }
doc-title-issued = { $boat }: machinery condition report { $number }, revision { $revision }, { $day }
doc-foot-issued = Report { $number }, revision { $revision } · { $boat }
doc-foot-draft = Draft, not issued · { $boat }
doc-number = Report number
doc-revision = Revision
doc-issued = Issued
doc-code = Code
doc-code-says = The reader has this code by another way: on paper, by voice, from the hand of whoever issued it. A code in this file proves only that the file is whole. It is no signature.
doc-draft-says = This draft has no number and no code. It may change, and nobody relies on it.

doc-answer = In short
doc-before-use = { $n ->
    [one] Item { $items } should be put right before the machinery is run.
   *[other] Items { $items } should be put right before the machinery is run.
}
doc-before-use-none = Of what was looked at, nothing has to be put right before the machinery is run.
doc-and = { $first } and { $last }
doc-to = { $first } to { $last }
doc-not-seen = { $n ->
    [0] Each of the { $asked } items asked was seen.
    [one] 1 of { $asked } items was not seen. It may be sound or not, and the answer above may change when it is.
   *[other] { $n } of { $asked } items were not seen. Each may be sound or not, and the answer above may change when they are.
}
doc-hidden = { $n ->
    [one] If it should fail, 1 of them can cost the boat, a life or the engine: it should be seen before anyone relies on this report.
   *[other] If they should fail, { $n } of them can cost the boat, a life or the engine: they should be seen before anyone relies on this report.
}
doc-repaired = { $n ->
    [one] 1 item was put right and still has to be looked at again.
   *[other] { $n } items were put right and still have to be looked at again.
}
doc-oil-outstanding = Oil result outstanding. What it says may change this report; it will come as an addendum.
doc-others = { $n ->
    [one] 1 more thing is on record and is not among these findings. The answer above does not count it; it stands under "What was done".
   *[other] { $n } more things are on record and are not among these findings. The answer above does not count them; they stand under "What was done", what forbids running first.
}
doc-not-counted = { $n ->
    [one] 1 thing is on record and counts in nothing below, which may therefore be better than it should be.
   *[other] { $n } things are on record and count in nothing below, which may therefore be better than it should be.
}
doc-withdrawn = { $n ->
    [one] 1 finding of an earlier revision was withdrawn.
   *[other] { $n } findings of earlier revisions were withdrawn.
}
doc-class = Class
doc-how-many = How many
doc-items = Findings
doc-classes = How long what was found may wait
doc-none = none

class-before-use = before use
class-by-date = by a date
class-next-lay-up = at the next lay-up
class-watch = watch
class-information = information
class-before-use-means = To be put right before the engine is run or the boat moves.
class-by-date-means = To be put right within the hours or by the day stated.
class-next-lay-up-means = To be put right with other work, at the next lay-up.
class-watch-means = To be looked at again at the hours or by the day stated.
class-information-means = Nothing need be done; it is told so that it is known.
class-gaps = To see what was not seen
class-gaps-means = What nobody saw has no class. What would show it stands here.

doc-particulars = Particulars
doc-not-entered = Not entered: { $facts }.
doc-nothing-entered = Not entered.
front-instruction = Instruction
front-surveyor = Surveyor
front-day = Place and day
front-boat = Boat
front-machinery = Machinery, as on the plates
front-basis = Documents and instruments
fact-client = Client
fact-instruction = Instructed
fact-users = Other intended users
fact-surveyor = Name and address
fact-qualification = Qualification
fact-insurance = Insurance
fact-place = Place
fact-lying = Lying
fact-arrival = Engine on arrival
fact-weather = Weather and sea
fact-load = Hull, tanks, people aboard
fact-attending = Attending
fact-boat-type = Type
fact-builder = Builder
fact-built = Built
fact-hull-number = Hull number
fact-registration = Registration
fact-flag = Flag
fact-engine = Engine
fact-engine-serial = Serial number
fact-rated-power = Rated power
fact-rated-speed = Rated speed
fact-engine-year = Year
fact-hour-meter = Hour meter
fact-gearbox = Gearbox
fact-gearbox-ratio = Ratio
fact-gearbox-serial = Serial number of the gearbox
fact-propeller = Shaft and propeller
fact-instruments = Instruments
fact-documents = Documents seen
fact-oil-analysis = Oil samples
fact-name = Name
fact-walked = Looked at
fact-walked-by = Walked by
fact-assistant = { $by }, an assistant under the surveyor's instruction
fact-nobody = nobody named
fact-afloat = afloat
fact-ashore = ashore
fact-dried-out = dried out
fact-cold = cold
fact-warm = warm
fact-not-told = not told
fact-meter-read = { $hours } h, as read
fact-meter-about = about { $hours } h, estimated
fact-meter-not-read = not read

doc-scope = What was done
doc-looked-run = Looked at with the engine running
doc-looked-still = Looked at with the engine stopped alone
doc-looked-any = Looked at; the state of the engine is not told
doc-not-looked = Not looked at
doc-not-looked-says = { $n ->
    [0] Nothing that was asked was left out.
    [one] 1 item: see "Not seen", with why and how it could be seen.
   *[other] { $n } items: see "Not seen", with why and how they could be seen.
}
doc-nothing-there = Nothing.
doc-agreed = Agreed beforehand
doc-agreed-not = Nothing is on record of what was agreed beforehand.
doc-not-in-it = On record, and not among these findings

doc-findings = Findings
doc-findings-say = Worst first. What was seen or measured stands apart from what is thought of it.
doc-findings-none = No defect was found in what was looked at.
doc-engine-state = State of the engine
doc-observed-none = No look of this report: its age or a rule speaks.
doc-opinion = Opinion
doc-certainty = Certainty
doc-seen = seen
doc-inferred = inferred from its age or a rule
doc-not-known = not known
doc-may-follow = May follow
doc-rule = Rule
doc-since = Since
doc-see-recommendation = recommendation { $n }
doc-deferred = Deferred by the owner

doc-plan = Where the findings are
doc-plan-says = Drawn for no boat in particular, but for what was put where it is. A number is that of its finding. A ring: seen, and no finding; hatched: not seen.

doc-recommendations = Recommendations
doc-recommendations-say = In the order of their class. All this is advice: what the law asks for and what the maker's handbook says stands above it.
doc-no-recommendations = None.
doc-rec-number = No.
doc-rec-finding = Finding
doc-rec-what = What to do
doc-rec-who = Who, where
doc-rec-when = By when
doc-rec-proof = Done when
doc-cautions = Cautions

doc-oil = Oil samples
doc-oil-says = The laboratory's words and figures, not the surveyor's. The limits are the laboratory's own. One sample is one moment, and fresh oil hides.
doc-oil-what = Measured
doc-oil-value = Value
doc-oil-limit = The laboratory's own limit
doc-oil-no-limit = not entered

doc-told = What owner or seller said
doc-told-says = As reported, not checked and not graded.
doc-told-item = Item
doc-told-words = As reported

doc-unseen = Not seen
doc-unseen-says = Neither sound nor a defect. What each could hide is not known until it is seen.

doc-definitions = Words used
term-sound = sound
term-sound-means = As it should be, as far as it was looked at. It says nothing of what could not be seen.
term-early = early
term-early-means = The first sign of wear, without effect yet.
term-worn = worn
term-worn-means = Still does its work; to be put right with other work.
term-failing = failing
term-failing-means = Does its work in part, or not for long.
term-failed = failed
term-failed-means = Does its work no more.
term-not-seen = not seen
term-not-seen-means = Asked, and nobody could look. Neither sound nor a defect.
term-reported = as reported
term-reported-means = Owner or seller said so. It was not checked.
term-seen = seen, inferred, not known
term-seen-means = Seen: a look of this report. Inferred: from its age or a rule, without a look. Not known: neither.
term-leaks = leak I, II, III
term-leaks-means = I is dampness, II drops that hang, III drops that fall; beyond that a stream (after operator checks of the US Army).
term-risk = risk
term-risk-means = How bad what may follow is, and how likely it is over the hours and days ahead, by the table of MIL-STD-882E, scaled for small craft. Codes and figures stand in the appendix.
doc-word-class = { $letter }: { $word }

doc-limits = Limits and reliance
doc-limits-heading = What limits any look
doc-reliance = Reliance
doc-lawyer = These sentences are a neutral draft. Whether they hold where this report is used, a lawyer decides.
reliance-1 = What this report tells was seen or measured on the days given, by whoever is named. What is opinion is marked as opinion.
reliance-2 = It was made for the client named. Others may read it; they may rely on it where the surveyor has agreed in writing, and on the same terms.
reliance-3 = It speaks of the machinery on those days, in the states described. How long anything will last it does not say.
reliance-4 = What was not seen is listed. It may be sound or not; the list says how it could be seen.
reliance-5 = Nothing was taken apart but what is listed.
reliance-6 = Figures of makers and standards are given with where they come from. Where they differ from what stands in the maker's handbook, the handbook decides.
reliance-7 = Costs, where there are any, are estimates of the person named, and no offer.
reliance-8 = It is no certificate and no valuation, and it does not say that the boat meets any law.
reliance-9 = A later revision replaces an earlier one: compare the number, the revision and the code.

doc-revisions = Revisions
doc-revisions-draft = None is issued yet.
doc-revision-kind = Addendum { $revision }
doc-revision-plain = Revision { $revision }
doc-what-changed = What changed
doc-why = Why
doc-withdrawn-heading = Withdrawn findings
doc-withdrawn-says = Their numbers are given to no other finding.

doc-signature = Signature
doc-signature-says = I made this inspection, and these are my findings and opinions.
doc-sign-name = Name
doc-sign-qualification = Qualification
doc-sign-place = Place and date
doc-sign-signature = Signature

doc-appendix = Appendix
doc-appendix-says = Risk codes and figures, readings, every look, the method, and photographs that belong to no finding. Folded on a screen; a browser that can opens it when it prints.
doc-appendix-open = This browser does not open it by itself: open it before printing.
doc-appendix-summary = Open or fold the appendix
doc-risks = Risk of each finding
doc-risk-code = Code
doc-risk-word = Risk
doc-risk-why = How it comes about
doc-in-time-heading = Findings in time
# What an issued report says of itself. A rung stands by its digit, 0 to 4.
issue-first = Issued.
issue-added = Finding { $number } added: { $title }, { $rung ->
    [0] { grade-sound }
    [1] { grade-early }
    [2] { grade-worn }
    [3] { grade-failing }
   *[other] { grade-failed }
}.
issue-gone = Finding { $number } withdrawn: { $title }.
issue-rung = Finding { $number }, { $title }: { $rung ->
    [0] { grade-sound }
    [1] { grade-early }
    [2] { grade-worn }
    [3] { grade-failing }
   *[other] { grade-failed }
} instead of { $was ->
    [0] { grade-sound }
    [1] { grade-early }
    [2] { grade-worn }
    [3] { grade-failing }
   *[other] { grade-failed }
}.
issue-stop-changed = Finding { $number }, { $title }: whether it forbids running has changed.
issue-words = Finding { $number }, { $title }: what was seen of it reads otherwise.
issue-front = Changed before the findings: { $entries }.
issue-translated = Written in another language; the words of what was seen are not held against those before.
issue-nothing = No finding is another.
issue-adds = Findings stand as issued. { $what }
issue-adds-visit = A later visit, on { $day }, with findings of its own; those issued before stand as they were issued.
issue-closes = It closes these findings: { $numbers }.
issue-by-assistant = looked at by { $who }, an assistant under instruction
issue-left-out-stop = It forbids running: { $title }, { $rung ->
    [0] { grade-sound }
    [1] { grade-early }
    [2] { grade-worn }
    [3] { grade-failing }
   *[other] { grade-failed }
}, seen on { $day }.
issue-left-out = { $title }, { $rung ->
    [0] { grade-sound }
    [1] { grade-early }
    [2] { grade-worn }
    [3] { grade-failing }
   *[other] { grade-failed }
}, seen on { $day }.
issue-left-out-risk = With all that is on record the risk of this finding is worse than here: { $title }.
issue-left-out-chore = To be done before starting: { $chore }.
issue-left-out-lost = Not counted, so that all else may be better than it should be: { $why }.

## Sentences that are put together outside of reports, as they are written there (words/composed)
composed-ranks-about = { $a }, about { $n } h and { $o } d ago; { $b }; { $c } decides: { $p } { $d }
composed-ranks = { $a }, { $n } h and { $o } d ago; { $b }; { $c } decides: { $p } { $d }
composed-stops = Stops the engine: { $a }
composed-rule-confirmed = { $a }; that it was { $b } lifts no stop, looking at it again does
composed-rule = { $a } ({ $b }); it stops at { $c }
composed-rule-fuel = fuel comes out; no class of fuel leak is allowed
composed-rule-rose = the level rose by { $n } % of the span with nothing added
composed-rule-rose-more = the level rose by { $n } % of the span more than what was added raises it
composed-again = It came back after a repair
composed-again-times = It came back { $n } times after a repair
composed-unlooked = Repaired and not yet looked at
composed-worn-at-best = Worn, past its life and so worn at best
composed-past-life = { $a } and past its life
composed-failed-already = failed already
composed-chance = { $n } % to fail within { $o } h and { $p } d
composed-owed = owed: { $a }

## Before leaving (before_leaving); its sentences are put together in defects/leaving_said
section-leaving = Before leaving
leaving-plan = Plan { $plan }: { $ahead }.
leaving-before = Before it: { $means }
leaving-work = { $time } of work
leaving-spend = { $sum } to spend
leaving-hands = by { $hands }
leaving-ashore = ashore for { $days } d
leaving-not-in = Not in this
col-leaving-what = What, and why
col-leaving-mind = To mind
col-leaving-takes = What it takes
composed-time = { $n } h { $o } min
composed-time-minutes = { $n } min
composed-time-hours = { $n } h
composed-ahead-a-day = { $n } h and { $o } d, { $p } h a day, in { $a } waters
composed-ahead = { $n } h and { $o } d in { $a } waters
composed-leaving-first = Key out, engine still and cold, each seacock known, before hands go in. The maker's handbook outranks all of this
composed-leaving-must = Must be done before she leaves
composed-leaving-worth = Worth doing
composed-leaving-left = Left, though it ought to be mended before this passage is over
composed-leaving-wait = Can wait, and what that leaves
composed-leaving-ashore = What needs her out of the water
composed-leaving-ashore-none = Nothing on record needs her out of the water
composed-leaving-look = Look:
composed-leaving-letter = As a letter, and the same list back: handlamp yard
composed-leaving-confirm = put right, and nobody has looked since
composed-leaving-not-listed = not on this list, since the catalogue has no row for it: paint, the rudder, and fittings through the hull that are not the engine's; look at them while she stands
composed-leaving-must-none = Nothing on record must be done first
composed-leaving-worth-none = Nothing more fits, or gains anything
composed-leaving-wait-none = Nothing on record
composed-leaving-do = Do:
composed-leaving-about = About
composed-leaving-once = and once for all behind it:
composed-leaving-unsaid = How long it takes nobody has said
composed-leaving-above = Done with what stands above
composed-leaving-took = Took
composed-leaving-one = once
composed-leaving-two = twice
composed-leaving-times = times
composed-leaving-own = by your own figure
composed-leaving-other-hands = not by the hands there are
composed-leaving-parts = Parts:
composed-leaving-either = Either will do: the choice changes where things wear twice or half as fast as judged
composed-leaving-drops = Drops out where work takes half as long again
composed-leaving-until = You let it wait until
composed-leaving-ends = it ought to be mended before this passage is over
composed-leaving-leaves = leaves
composed-leaving-for = it is for the
composed-leaving-no-minutes = nobody has said how long it takes: handlamp minutes ITEM TIME
composed-leaving-left-out = you left it out
composed-leaving-gains-nothing = mending it takes nothing away of what counts as trouble here
composed-leaving-worth-less = other work is worth more in what there is
composed-leaving-worth-less-hands = other work is worth more in the hours of those hands
composed-leaving-ages = Age not known, and can be mended at sea
composed-leaving-before-start = it comes before the engine runs
composed-leaving-asked = you asked for it
composed-leaving-temporary = a temporary repair, until { $a }, is not for good
composed-leaving-unlooked = put right { $a }, and nobody has looked since
composed-leaving-do-not-start = do not start the engine
composed-leaving-do-not-leave = do not leave
composed-leaving-sums-of = What must be done takes about { $a }, what is worth doing { $b }, of { $c }
composed-leaving-sums = What must be done takes about { $a }, what is worth doing { $b }
composed-leaving-once-done = Once what must be done is done:
composed-leaving-takes-same = Of the trouble this list can see, these { $a } take away about { $b }, and about as much where things wear twice or half as fast as judged
composed-leaving-takes = Of the trouble this list can see, these { $a } take away about { $b }, between { $c } and { $d } where things wear twice or half as fast as judged
composed-leaving-by-order = Taking simply what gains most for its minutes, one after the other, would take away about { $a }: the better choice fits the time and the money as a whole
composed-leaving-trouble = Trouble here is what would be grave in these waters, or would leave her without drive; how fast things wear is judgement where she has taught nothing
composed-leaving-not-proved = It is the best choice found; that there is no better one is not proved
composed-leaving-stands-all = Where all work takes half as long again, the choice is the same
composed-leaving-stands-some = Where all work takes half as long again, { $n } of these { $o } still stand
composed-leaving-stands-none = Where all work takes half as long again, none of these still stands
composed-leaving-short = This alone takes { $a } more than there is: she does not leave before it is done
composed-leaving-not-here = steering, rig, electronics, weather and crew are not on this list: it sees the engine room alone
composed-leaving-unseen = { $n } item(s) that nobody has looked at yet are not weighed: what they hide comes on top
composed-leaving-looks = { $n } look(s) at what is found come due before the passage is over: handlamp due
composed-leaving-former = findings of a former owner are weighed as told
composed-leaving-no-estimate = { $n } job(s) have no estimate on record and are not in the money: handlamp cost ITEM
composed-leaving-judged = minutes are judgement where you have said none of your own and no such job was timed; what is aboard is as the locker has it on record: see each before you count on it
share-next-to-nothing = next to nothing
share-a-tenth = a tenth
share-a-fifth = a fifth
share-a-quarter = a quarter
share-a-third = a third
share-two-fifths = two fifths
share-half = half
share-three-fifths = three fifths
share-two-thirds = two thirds
share-three-quarters = three quarters
share-four-fifths = four fifths
share-nine-tenths = nine tenths
share-nearly-all = nearly all
