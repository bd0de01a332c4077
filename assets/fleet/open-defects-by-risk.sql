-- Every defect that is to be put right, over all boats: what stops first, then by risk, then by each
-- boat's own list. A risk is that of the boat's own waters over her own usual plan.
select
  d.stop, d.risk, d.code, b.name, b.boat, d."rank", d.item, d.machine, d.grade, d.state, d.who,
  d.remedy, d.fix_by
from defects d
join boats b on b.boat = d.boat
where d."rank" is not null
order by
  case when d.stop then 0 else 1 end,
  case d.risk when 'high' then 0 when 'serious' then 1 when 'medium' then 2 when 'low' then 3 else 4 end,
  b.name, b.boat, d."rank";
