# The words of a report in English. One message a thing said; what is filled in stands in braces.

photographs-left-out = { $n ->
    [one] { $n } photograph cannot be read and is left out.
   *[other] { $n } photographs cannot be read and are left out.
}

# The page of a survey as a document, and the frame of every page.

page-skip = Skip to the findings
page-skip-all = Skip to what was found
page-contents = Contents
page-table = Table: { $name }
page-caution = Caution:
page-before-start = Before you start
page-tell-today = Forbids running: tell the owner the same day
page-first = First to put right
page-stop = Forbids running
page-summary = Summary
page-places = Where things are
page-stations = Stations
page-defects = Defects, worst first
page-no-defects = None is open.
page-observed = Observed
page-opinion = Opinion and advice
page-nothing-new = Nothing new: its age or a rule speaks.
page-other-photographs = Other photographs
page-no-caption = No caption
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
fact-machine = Machine
fact-walked = Looked at
fact-walked-by = Walked by
fact-assistant = { $by }, an assistant under the surveyor's instruction
fact-nobody = nobody named
fact-made = Written
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
doc-not-in-it = On record of others, and not in this report

doc-findings = Findings
doc-findings-say = Worst first. What was seen or measured stands apart from what is thought of it.
doc-findings-none = No defect was found in what was looked at.
doc-place-of = { $station }, { $machine }
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
doc-recommended = Recommended
doc-see-recommendation = recommendation { $n }
doc-deferred = Deferred by the owner
state-open = open
state-deferred = deferred
state-repaired = repaired, not yet looked at
state-confirmed = repaired and seen sound
state-temporary = repaired for a while
state-withdrawn = withdrawn
engine-cold = cold
engine-dead = stopped, starting disabled
engine-key-on = panel on, engine still
engine-crank = turning on the starter
engine-first-minute = first minute of running
engine-idle = idle, neutral
engine-fast = raised speed, neutral
engine-in-gear = in gear
engine-under-way = under way, load
engine-full-throttle = full throttle
engine-just-stopped = just stopped, hot
engine-settled = stopped, settled
engine-next-morning = the next morning, cold
effect-fire = fire
effect-exhaust-gas = exhaust gas where people breathe
effect-flooding = the sea comes in
effect-loss-of-control = loss of control
effect-injury = injury
effect-loss-of-safeguard = an alarm, extinguisher or pump is missing when needed
effect-loss-of-propulsion = loss of propulsion
effect-engine-damage = damage to the engine
effect-loss-of-starting = she does not start or charge
effect-pollution = oil or fuel over the side
effect-nuisance = a nuisance

doc-plan = Where the findings are
doc-plan-says = Drawn for no boat in particular, but for what was put where it is. A number is that of its finding. A ring: seen, and no finding; hatched: not seen.

doc-recommendations = Recommendations
doc-recommendations-say = In the order of their class. All this is advice: what the law asks for and what the maker's handbook says stands above it.
doc-no-recommendations = None.
doc-rec-number = No.
doc-rec-finding = Finding
doc-rec-item = Item
doc-rec-what = What to do
doc-rec-who = Who, where
doc-rec-when = By when
doc-rec-proof = Done when
doc-cautions = Cautions

doc-oil = Oil samples
doc-oil-says = The laboratory's words and figures, not the surveyor's. The limits are the laboratory's own. One sample is one moment, and fresh oil hides.
doc-oil-none = Nothing is on record of an oil sample.

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
doc-term = Word
doc-meaning = Meaning
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
doc-withdrawn-number = Number
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
doc-risk-number = No.
doc-risk-code = Code
doc-risk-word = Risk
doc-risk-why = How it comes about
doc-in-time-heading = Findings in time
page-drawing = Where things are, { $view }; the table beneath says the same in words
page-view-above = from above, starboard up
page-view-side = from the side, seen from port
page-forward = forward
page-aft = aft
