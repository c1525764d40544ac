import { useSignal } from '@preact/signals';
import { Link } from 'wouter-preact';
import type { WeepholeClient } from '../../../../typescript/src/client.js';
import { Mark } from '../../kit/due/strip.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { momentInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { reportAddress } from '../addresses.js';
import { useFilters } from '../filter-address.js';
import { unitNumbersOf } from '../unit-numbers.js';
import { FilterForm, NAMES, queryOf, type Values } from './filters.js';
import { message } from './messages.js';
import { reasonInWords, type Report, shapeOf, verdictInWords, workOf } from './words.js';

const PAGE = 25;

interface Reports {
  items: readonly Report[];
  units: ReadonlyMap<string, string>;
  isAll: boolean;
  timeZone: string;
}

/** Loads pages until there are `wanted` reports or no more. */
async function load(
  client: WeepholeClient,
  values: Values,
  wanted: number,
  signal: AbortSignal,
): Promise<Reports> {
  const { data: me } = await client.get('/v1/me', { signal });
  const items: Report[] = [];
  let cursor: string | null = null;
  do {
    const given = { ...queryOf(values), limit: String(PAGE) };
    const query: typeof given & { cursor?: string } = { ...given, ...(cursor !== null && { cursor }) };
    const { data } = await client.get('/v1/job-reports', { query, signal });
    items.push(...data.items);
    cursor = data.next;
  } while (cursor !== null && items.length < wanted);
  const ids = [
    ...items.map(({ vehicleId }) => vehicleId),
    ...(values.vehicle === '' ? [] : [values.vehicle]),
  ];
  const units = await unitNumbersOf(client, ids, signal);
  return { items, units, isAll: cursor === null, timeZone: me.timeZone };
}

function Row({ report, unit, timeZone }: { report: Report; unit: string; timeZone: string }) {
  const { id, performedAt, performedBy, outcome, warning, voided } = report;
  const on = momentInWords(performedAt, timeZone);
  return (
    <tr data-report={id} class={voided === null ? outcome.verdict : 'voided'}>
      <td>
        <Link href={reportAddress(id)} aria-label={tell(message('desk-reports-open', { unit, on }))}>
          {on}
        </Link>
      </td>
      <th scope="row" class="unit">
        {unit}
      </th>
      <td>{workOf(report)}</td>
      <td>{performedBy}</td>
      <td>
        <Mark state={shapeOf(outcome.verdict)} /> <strong>{verdictInWords(outcome.verdict)}</strong>{' '}
        {warning?.text}{' '}
        {voided !== null &&
          tell(
            message('desk-report-voided', {
              ...{ on: momentInWords(voided.at, timeZone), reason: reasonInWords(voided) },
            }),
          )}
      </td>
    </tr>
  );
}

const COLUMNS = ['when', 'unit', 'work', 'by', 'outcome'] as const;

function Table({ items, units, timeZone }: Reports) {
  if (items.length === 0) return <p>{tell(message('desk-reports-none'))}</p>;
  return (
    <table class="reports">
      <caption class="unseen">{tell(message('desk-reports'))}</caption>
      <thead>
        <tr>
          {COLUMNS.map((column) => (
            <th key={column} scope="col">
              {tell(message(`desk-reports-${column}`))}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {items.map((report) => (
          <Row key={report.id} {...{ report, timeZone }} unit={units.get(report.vehicleId) ?? '…'} />
        ))}
      </tbody>
    </table>
  );
}

/** Job reports, the latest first, each with its verdict in words. */
export function ReportList() {
  const filters = useFilters(NAMES);
  const wanted = useSignal(PAGE);
  const { values } = filters;
  const { state, reload } = useLoaded(
    (client, signal) => load(client, values, wanted.value, signal),
    [...NAMES.map((name) => values[name]), wanted.value],
  );
  const unit = state.value.value?.units.get(values.vehicle) ?? '…';
  return (
    <div class="reports-view">
      <Heading>{tell(message('desk-reports'))}</Heading>
      <FilterForm {...filters} unit={unit} />
      <Shown state={state} again={reload}>
        {(reports) => (
          <>
            <Table {...reports} />
            {!reports.isAll && (
              <button type="button" onClick={() => (wanted.value += PAGE)}>
                {tell(message('desk-reports-more'))}
              </button>
            )}
          </>
        )}
      </Shown>
    </div>
  );
}
