-- Everything that is due or overdue as of each boat's export: tasks, looks owed, lives that ran out,
-- next looks, as `handlamp due` has them; and defects that stop the boat or whose time is over.
-- The column `due` says so, and no date alone: what nobody knows the age of is due and has no date.
-- Deferred defects wait for their own date and are open again by themselves after it.
select b.name, b.boat, d.what, d.id, d.title, d.item, d.machine, d.due_date, d.why
from due d
join boats b on b.boat = d.boat
where d.due
union all
select
  b.name, b.boat, 'defect', d.item, d.title, d.item, d.machine, d.fix_by,
  case when d.stop then 'stops the boat' else 'to be put right by ' || cast(d.fix_by as text) end
from defects d
join boats b on b.boat = d.boat
where d.state = 'open' and (d.stop or d.fix_by <= b.day)
order by 1, 2, 3, 4, 7;
