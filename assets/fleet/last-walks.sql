-- The last walk of every machine and how many days ago it was; a machine without one stands here with
-- nothing beside it.
select b.name, b.boat, m.machine, w.walk, w.checklist, w."at", w.finished, w.days_ago, w."by"
from machines m
join boats b on b.boat = m.boat
left join walks w on w.boat = m.boat and w.machine = m.machine
  and not exists (select 1 from walks later
    where later.boat = w.boat and later.machine = w.machine
      and (later."at" > w."at" or (later."at" = w."at" and later.walk > w.walk)))
where m.aboard
order by w.days_ago desc, b.name, b.boat, m.machine;
