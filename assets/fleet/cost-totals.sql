-- What putting right may cost, over all boats, a line for each currency: nothing is changed from one
-- into another. Only what was estimated is in it; without_estimate is how many defects were not.
select
  c.currency,
  count(*) as boats,
  cast(sum(c.estimates) as bigint) as estimates,
  sum(c.low) as low,
  sum(c.likely) as likely,
  sum(c.high) as high,
  sum(c.mean) as mean,
  (select count(*) from defects d
   where d."rank" is not null and d.state in ('open', 'deferred')
     and not exists (select 1 from costs k
       where k.boat = d.boat and k.counts and k.item = d.item
         and coalesce(k.machine, '') = coalesce(d.machine, ''))) as without_estimate
from cost_totals c
group by c.currency
order by c.currency;
