-- Which boats need most, worst first: what stops them, then how many defects at each risk.
-- A boat without a defect has a row of noughts; last_walk tells how old that news is.
select
  b.name,
  b.boat,
  cast(sum(case when d.stop then 1 else 0 end) as bigint) as stops,
  cast(sum(case when d.risk = 'high' then 1 else 0 end) as bigint) as high,
  cast(sum(case when d.risk = 'serious' then 1 else 0 end) as bigint) as serious,
  cast(sum(case when d.risk = 'medium' then 1 else 0 end) as bigint) as medium,
  cast(sum(case when d.risk = 'low' then 1 else 0 end) as bigint) as low,
  (select cast(max(w."at") as text) from walks w where w.boat = b.boat) as last_walk
from boats b
left join defects d on d.boat = b.boat and d."rank" is not null
group by b.boat, b.name
order by stops desc, high desc, serious desc, medium desc, low desc, b.name, b.boat;
