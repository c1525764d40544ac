import { useSignal } from '@preact/signals';
import { Fault } from '../../kit/parts/fault.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { dayInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { Choice } from '../choice.js';
import { useFilters } from '../filter-address.js';
import { FiguresInWords } from './figures.js';
import { message } from './messages.js';
import { Tables } from './tables.js';
import { isEmpty, monthInWords, type Report } from './words.js';
import './month.css';

/** How far back a month can be chosen. */
const MONTHS_BACK = 36;

/** A month and those before it, the latest first. */
function monthsUntil(last: string): string[] {
  const [year = 0, month = 1] = last.split('-').map(Number);
  return Array.from({ length: MONTHS_BACK }, (_, back) =>
    new Date(Date.UTC(year, month - 1 - back, 1)).toISOString().slice(0, 7),
  );
}

/** Saves the month as a file. */
function Save({ month }: { month: string }) {
  const problem = useSignal<unknown>(null);
  const isBusy = useSignal(false);
  const save = async (): Promise<void> => {
    isBusy.value = true;
    problem.value = null;
    try {
      const query = { of: `${month}-01`, bom: 'true' as const };
      const { data } = await service().file('/v1/reports/month.csv', { query });
      const link = document.createElement('a');
      link.href = URL.createObjectURL(data);
      link.download = `${month}.csv`;
      link.click();
      URL.revokeObjectURL(link.href);
    } catch (refused) {
      problem.value = refused;
    }
    isBusy.value = false;
  };
  return (
    <>
      <button type="button" disabled={isBusy} onClick={() => void save()}>
        {tell(message('desk-month-save'))}
      </button>
      {problem.value !== null && <Fault problem={problem.value} />}
    </>
  );
}

/** The definitions of what is shown, which only the paper has in one place. */
function Definitions({ report }: { report: Report }) {
  // The median of all that came after its due date is not shown, and the groups say theirs above.
  const { medianDaysAfterDue: _median, groups: _groups, ...definitions } = report.definitions;
  return (
    <section class="on-paper">
      <h2>{tell(message('desk-month-definitions'))}</h2>
      <ul class="dots">
        {Object.entries(definitions).map(([figure, { text }]) => (
          <li key={figure}>{text}</li>
        ))}
      </ul>
    </section>
  );
}

function MonthShown({ report }: { report: Report }) {
  const { month, upTo, total } = report;
  return (
    <>
      <p class="about">
        <strong>{tell(message('desk-month-of', { month: monthInWords(month) }))}</strong>{' '}
        {tell(message('desk-month-up-to', { day: dayInWords(upTo) }))}
      </p>
      {isEmpty(total) && <p>{tell(message('desk-month-none'))}</p>}
      <FiguresInWords report={report} />
      <Tables report={report} />
      <Definitions report={report} />
    </>
  );
}

/** How a month went: in words, by group, and beside the months before it. */
export function Month() {
  const { values, choose } = useFilters(['of']);
  const { state, reload } = useLoaded(
    async (client, signal) => {
      const { data: latest } = await client.get('/v1/reports/month', { signal });
      if (values.of === '' || values.of === latest.month) return { latest: latest.month, report: latest };
      const query = { of: `${values.of}-01` };
      const { data: report } = await client.get('/v1/reports/month', { query, signal });
      return { latest: latest.month, report };
    },
    [values.of],
  );
  return (
    <div class="month-view">
      <Heading>{tell(message('desk-month'))}</Heading>
      <Shown state={state} again={reload}>
        {({ latest, report }) => (
          <>
            <form class="choose" onSubmit={(event) => event.preventDefault()}>
              <Choice
                label={tell(message('desk-month-choose'))}
                choices={[...new Set([...monthsUntil(latest), report.month])].map((value) => ({
                  ...{ value, text: monthInWords(value) },
                }))}
                value={report.month}
                onChoose={(month) => choose('of', month === latest ? '' : month)}
              />
              <Save month={report.month} />
              <button type="button" onClick={() => window.print()}>
                {tell(message('desk-month-print'))}
              </button>
            </form>
            <MonthShown report={report} />
          </>
        )}
      </Shown>
    </div>
  );
}
