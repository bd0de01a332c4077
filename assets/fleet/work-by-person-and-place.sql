-- What waits to be done, by who can do it, where it can be done and where it is aboard: defects to be
-- put right, and tasks that are due.
select d.who, d.remedy_where as place, i.station_title as station, b.name, b.boat, 'defect' as what,
  d.item as id, d.machine, d.remedy as work
from defects d
join boats b on b.boat = d.boat
left join items i on i.boat = d.boat and i.item = d.item
where d."rank" is not null and d.state in ('open', 'deferred')
union all
select t.who, t.due_where, i.station_title, b.name, b.boat, 'task', t.id, t.machine, t.title
from due t
join boats b on b.boat = t.boat
left join items i on i.boat = t.boat and i.item = t.item
where t.due and t.what = 'task'
order by 1, 2, 3, 4, 5, 6, 7, 8;
