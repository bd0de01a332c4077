-- The last walk of every machine and how many days ago it was; a machine without one stands here with
-- nothing beside it.
select b.name, b.boat, m.machine, w.walk, w.checklist, w."at", w.finished, w.days_ago, w."by"
from machines m
join boats b on b.boat = m.boat
left join (
  select *, row_number() over (partition by boat, machine order by "at" desc, walk desc) as from_last
  from walks
) w on w.boat = m.boat and w.machine = m.machine and w.from_last = 1
where m.aboard
order by w.days_ago desc, b.name, b.boat, m.machine;
