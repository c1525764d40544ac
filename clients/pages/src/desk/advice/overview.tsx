import { Link } from 'wouter-preact';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';
import { type Interval, limitsInWords, partInWords, type Plan } from './words.js';

const MOST_PLANS = 200;

interface Replaced {
  plan: Plan;
  interval: Interval;
  isReadyMade: boolean;
}

/** What the plans replace, in the order of the plans. */
function replacedBy(plans: readonly Plan[]): Replaced[] {
  return plans.flatMap((plan) =>
    plan.intervals.flatMap((interval, index) =>
      interval.action !== 'replace'
        ? []
        : [
            {
              ...{ plan, interval },
              isReadyMade: plan.starter?.unconfirmed.includes(`/intervals/${index}`) ?? false,
            },
          ],
    ),
  );
}

function Row({ plan, interval, isReadyMade }: Replaced) {
  const { component, item, severe } = interval;
  const part = partInWords(component, item);
  const query = item == null ? '' : `?item=${encodeURIComponent(item)}`;
  return (
    <tr>
      <th scope="row">
        <Link href={`/advice/${component}${query}`} aria-label={tell(message('desk-advice-ask', { part }))}>
          {part}
        </Link>
      </th>
      <td>{plan.name}</td>
      <td>
        {limitsInWords(interval)}
        {severe != null && (
          <span class="faint"> {tell(message('desk-advice-severe', { limits: limitsInWords(severe) }))}</span>
        )}
        {isReadyMade && (
          <p class="ready-made">
            <strong>{tell(message('desk-advice-ready-made'))}</strong>
          </p>
        )}
      </td>
    </tr>
  );
}

/** Which parts the plans replace, and the way to what the fleet's own failures say of each. */
export function Overview() {
  const { state, reload } = useLoaded(
    async (client, signal) =>
      (await client.get('/v1/interval-plans', { query: { limit: String(MOST_PLANS) }, signal })).data.items,
    [],
  );
  return (
    <div class="advice-view">
      <Heading>{tell(message('desk-advice'))}</Heading>
      <p>{tell(message('desk-advice-about'))}</p>
      <Shown state={state} again={reload}>
        {(plans) => {
          const rows = replacedBy(plans);
          if (rows.length === 0) return <p>{tell(message('desk-advice-none'))}</p>;
          return (
            <table class="replaced">
              <caption class="unseen">{tell(message('desk-advice'))}</caption>
              <thead>
                <tr>
                  <th scope="col">{tell(message('desk-advice-part'))}</th>
                  <th scope="col">{tell(message('desk-advice-plan'))}</th>
                  <th scope="col">{tell(message('desk-advice-every'))}</th>
                </tr>
              </thead>
              <tbody>
                {rows.map((row, index) => (
                  <Row key={`${row.plan.id} ${index}`} {...row} />
                ))}
              </tbody>
            </table>
          );
        }}
      </Shown>
    </div>
  );
}
