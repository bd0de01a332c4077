-- Which item is worst over all boats: on how many it stops, then on how many it stands in the list at
-- each risk.
select
  d.item,
  max(d.title) as title,
  count(distinct d.boat) as boats,
  cast(sum(case when d.stop then 1 else 0 end) as bigint) as stops,
  cast(sum(case when d.risk = 'high' then 1 else 0 end) as bigint) as high,
  cast(sum(case when d.risk = 'serious' then 1 else 0 end) as bigint) as serious,
  cast(sum(case when d.risk = 'medium' then 1 else 0 end) as bigint) as medium,
  cast(sum(case when d.risk = 'low' then 1 else 0 end) as bigint) as low
from defects d
where d."rank" is not null
group by d.item
order by stops desc, high desc, serious desc, medium desc, low desc, d.item;
