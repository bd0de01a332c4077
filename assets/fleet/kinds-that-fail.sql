-- Which kinds of item give trouble over the whole fleet. What was withdrawn was none and is left
-- out, and so is what stands in a list without a finding, such as a part past its life. came_back
-- counts repairs that did not hold.
select
  kind,
  count(*) as defects,
  count(distinct boat) as boats,
  cast(sum(case when state in ('open', 'deferred') then 1 else 0 end) as bigint) as open_now,
  cast(sum(reopened) as bigint) as came_back
from defects
where state <> 'withdrawn' and number > 0
group by kind
order by defects desc, boats desc, kind;
