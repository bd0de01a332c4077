-- Work that is overdue as of each boat's export: looks owed whose date or hours are over, and
-- defects that stop the boat or whose time is over. Deferred defects wait for their own date and
-- are open again by themselves after it.
select b.name, b.boat, 'recheck' as what, r.item, r.machine, r.why
from rechecks r
join boats b on b.boat = r.boat
left join machines m on m.boat = r.boat and m.machine = coalesce(r.machine, b.machine)
where r."open" and (r.due_at <= b.written or r.due_hours <= m.hours_now)
union all
select
  b.name, b.boat, 'defect', d.item, d.machine,
  case when d.stop then 'stops the boat' else 'to be put right by ' || cast(d.fix_by as text) end
from defects d
join boats b on b.boat = d.boat
where d.state = 'open' and (d.stop or d.fix_by <= cast(b.written as date))
order by 1, 2, 3 desc, 4, 5;
