import { useSignal } from '@preact/signals';
import type { DueLine } from '../../kit/due/due-line.js';
import { Field, faultsOf } from '../../kit/parts/field.js';
import { service } from '../../kit/service/session.js';
import { dayInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import type { Depot } from './filter-form.js';
import { LinesDialog, type LineWords } from './lines-dialog.js';
import { doToLines, named, type NamedLine } from './many-lines.js';
import { message } from './messages.js';

const WORDS: LineWords = {
  way: (count) => message('desk-due-book', { count }),
  what: (lines) => [
    message('desk-due-book-what', {
      ...{ count: lines.length, vehicles: new Set(lines.map(({ unit }) => unit)).size },
    }),
    message('desk-due-book-undo'),
  ],
  done: (count) => message('desk-due-book-done', { count }),
  left: (count) => message('desk-due-book-left', { count }),
  was: (which, { visit }) =>
    message('desk-due-was-booked', { ...which, on: visit ? dayInWords(visit.on) : '' }),
  wasNot: (which) => message('desk-due-not-booked', which),
};

/** The depots of some lines, each once. */
function depotsOf(lines: readonly DueLine[], depots: readonly Depot[]): Depot[] {
  const ids = new Set(lines.map(({ vehicle }) => vehicle.depotId));
  return depots.filter(({ id }) => ids.has(id));
}

/** Asks on which day the lines of each vehicle come in together, and says what became of each. */
export function Book({
  lines,
  depots,
  onClose,
}: {
  lines: readonly DueLine[];
  depots: readonly Depot[];
  /** @param booked those that are on a visit now */
  onClose: (booked: readonly string[]) => void;
}) {
  const choices = depotsOf(lines, depots);
  const day = useSignal('');
  const depot = useSignal(choices.length === 1 ? (choices[0]?.id ?? '') : '');
  const work = (some: readonly NamedLine[]) =>
    doToLines(some, async (ids) => {
      const body = { ids, day: day.value, depotId: depot.value === '' ? null : depot.value };
      return (await service().post('/v1/visits/book', { body })).data;
    });
  return (
    <LinesDialog {...{ work, onClose }} lines={lines.map(named)} words={WORDS} fields={['/day', '/depotId']}>
      {(problems) => (
        <>
          <Field label={tell(message('desk-due-book-day'))} faults={faultsOf(problems, '/day')}>
            {(about) => (
              <input
                type="date"
                {...about}
                value={day}
                onInput={(e) => (day.value = e.currentTarget.value)}
              />
            )}
          </Field>
          <Field label={tell(message('desk-due-depot'))} faults={faultsOf(problems, '/depotId')}>
            {(about) => (
              <select {...about} value={depot} onChange={(e) => (depot.value = e.currentTarget.value)}>
                <option value="">{tell(message('desk-due-book-own-depot'))}</option>
                {choices.map(({ id, name }) => (
                  <option key={id} value={id}>
                    {name}
                  </option>
                ))}
              </select>
            )}
          </Field>
        </>
      )}
    </LinesDialog>
  );
}
