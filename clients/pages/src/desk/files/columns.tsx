import type { Signal } from '@preact/signals';
import { tell } from '../../kit/texts/tell.js';
import { columnNow, type Draft, faultsAbout, withColumn } from './draft.js';
import type { SheetColumn, SheetField, SheetFile } from './file-types.js';
import { message } from './messages.js';

type Now = ReturnType<typeof columnNow>;
type Change = Parameters<typeof withColumn>[2];

const placeOf = ({ column, header }: SheetColumn): string =>
  header === '' ? column : `${column}: ${header}`;

function Unit({ units, now, column, onChange }: HowProps & { units: readonly string[] }) {
  return (
    <select
      aria-label={tell(message('desk-file-unit-of', { column }))}
      value={now.unit ?? ''}
      onChange={({ currentTarget }) => onChange({ unit: currentTarget.value as Change['unit'] })}
    >
      {now.unit === null && <option value="">–</option>}
      {units.map((unit) => (
        <option key={unit} value={unit}>
          {unit}
        </option>
      ))}
    </select>
  );
}

interface HowProps {
  now: Now;
  column: string;
  onChange: (change: Change) => void;
}

function Mark({ now, column, onChange }: HowProps) {
  return (
    <select
      aria-label={tell(message('desk-file-mark-of', { column }))}
      value={now.decimal ?? ''}
      onChange={({ currentTarget: { value } }) =>
        onChange({ decimal: value === 'point' || value === 'comma' ? value : null })
      }
    >
      <option value="">{tell(message('desk-file-mark', { mark: 'none' }))}</option>
      <option value="point">{tell(message('desk-file-mark', { mark: 'point' }))}</option>
      <option value="comma">{tell(message('desk-file-mark', { mark: 'comma' }))}</option>
    </select>
  );
}

function Order({ now, column, onChange }: HowProps) {
  return (
    <select
      aria-label={tell(message('desk-file-order-of', { column }))}
      value={now.dateOrder ?? ''}
      onChange={({ currentTarget: { value } }) =>
        onChange({ dateOrder: value === 'day-first' || value === 'month-first' ? value : null })
      }
    >
      <option value="">{tell(message('desk-file-order', { order: 'none' }))}</option>
      <option value="month-first">{tell(message('desk-file-order', { order: 'monthFirst' }))}</option>
      <option value="day-first">{tell(message('desk-file-order', { order: 'dayFirst' }))}</option>
    </select>
  );
}

/** How the cells of a column are read: unit, decimal mark, order of dates. */
function How({ field, ...props }: HowProps & { field: SheetField | undefined }) {
  if (field === undefined) return null;
  const isDate = field.holds === 'date' || field.holds === 'instant';
  return (
    <>
      {field.units !== null && <Unit {...props} units={field.units} />}
      {field.holds === 'number' && <Mark {...props} />}
      {isDate && <Order {...props} />}
    </>
  );
}

function Samples({ column: { samples, field } }: { column: SheetColumn }) {
  return (
    <ul>
      {samples.map(({ row, value, read, fault }) => (
        <li key={row} class={fault === null ? undefined : 'wrong'}>
          {fault !== null
            ? tell(message('desk-file-sample-fault', { value, why: fault.text }))
            : field === null || read === null || read === value
              ? value
              : tell(message('desk-file-sample', { value, read }))}
        </li>
      ))}
    </ul>
  );
}

function Row({
  column,
  file: { fields },
  draft,
  problem,
}: {
  column: SheetColumn;
  file: SheetFile;
  draft: Signal<Draft>;
  problem: unknown;
}) {
  const now = columnNow(draft.value, column);
  const change = (changed: Change): void =>
    void (draft.value = withColumn(draft.value, column.column, changed));
  const faults = faultsAbout(problem, draft.value, { column: column.column });
  const place = placeOf(column);
  return (
    <tr data-column={column.column}>
      <th scope="row">{place}</th>
      <td>
        <select
          aria-label={tell(message('desk-file-field-of', { column: place }))}
          value={now.field ?? ''}
          onChange={({ currentTarget }) => change({ field: currentTarget.value || null })}
        >
          <option value="">{tell(message('desk-file-left-out'))}</option>
          {fields.map(({ field, label }) => (
            <option key={field} value={field}>
              {label.text}
            </option>
          ))}
        </select>
        {faults.length > 0 && <p class="fault">{faults.join(' ')}</p>}
      </td>
      <td class="how">
        <How
          field={fields.find(({ field }) => field === now.field)}
          column={place}
          now={now}
          onChange={change}
        />
      </td>
      <td>
        <Samples column={column} />
      </td>
    </tr>
  );
}

const HEADS = ['desk-file-column', 'desk-file-is', 'desk-file-how', 'desk-file-samples'] as const;

/** What each column is read as, with its first cells. */
export function Columns(props: { file: SheetFile; draft: Signal<Draft>; problem: unknown }) {
  return (
    <section aria-labelledby="columns">
      <h2 id="columns">{tell(message('desk-file-columns'))}</h2>
      <p>{tell(message('desk-file-columns-about'))}</p>
      <table class="columns">
        <thead>
          <tr>
            {HEADS.map((head) => (
              <th key={head} scope="col">
                {tell(message(head))}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {props.file.columns.map((column) => (
            <Row key={column.column} {...props} column={column} />
          ))}
        </tbody>
      </table>
    </section>
  );
}
