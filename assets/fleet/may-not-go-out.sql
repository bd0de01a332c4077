-- Who may not go out now, and why: a line for each reason. What `handlamp verdict` ends with 1 for.
-- not_counted is how much on record no answer counts of that boat; where it is not 0, more may speak
-- against her. A machine that was never walked stands here too, with no verdict: she is not clear.
select
  b.name, b.boat, m.machine, v.verdict_now, r.number, r.item, r.rule, b.not_counted
from machines m
join boats b on b.boat = m.boat
left join verdicts v on v.boat = m.boat and v.machine = m.machine
left join verdict_reasons r on r.boat = v.boat and r.machine = v.machine
where m.aboard and (v.is_no or v.machine is null)
order by b.name, b.boat, m.machine, r.number;
