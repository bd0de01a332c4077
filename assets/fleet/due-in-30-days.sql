-- What is due or comes due within thirty days of each boat's export, soonest first; what nobody knows
-- the age of is due and has no date.
select b.name, b.boat, d.what, d.id, d.title, d.item, d.machine, d.due_date, d.days_left, d.due
from due d
join boats b on b.boat = d.boat
where d.due or d.days_left <= 30
order by case when d.days_left is null then 1 else 0 end, d.days_left, b.name, b.boat, d.what, d.id,
  d.machine;
