import { type Signal, useSignal } from '@preact/signals';
import type { DueLine } from '../../kit/due/due-line.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Field, faultsOf } from '../../kit/parts/field.js';
import { tell } from '../../kit/texts/tell.js';
import { assignVisits, type BookedLine, visitsOf } from './assign-visits.js';
import { LinesDialog, type LineWords } from './lines-dialog.js';
import { doToLines, named, type NamedLine } from './many-lines.js';
import { message } from './messages.js';
import { usePeople } from './people.js';

type People = ReturnType<typeof usePeople>;

/** The choice that takes visits off whoever has them. */
const NOBODY = 'nobody';

/** The people who can do visits at one of the depots of some lines. */
function ableAt(people: People, lines: readonly DueLine[]): People {
  const depots = new Set(lines.flatMap(({ vehicle }) => vehicle.depotId ?? []));
  return people.filter(
    ({ role, depotIds }) =>
      (role === 'manager' || role === 'mechanic') &&
      (depotIds == null || depotIds.some((id) => depots.has(id))),
  );
}

const wordsOf = (lines: readonly BookedLine[], people: People): LineWords => ({
  way: () => message('desk-due-assign-these', { count: visitsOf(lines).length }),
  what: (left) => {
    const ids = new Set(left.map(({ id }) => id));
    const visits = visitsOf(lines.filter(({ id }) => ids.has(id))).length;
    return [message('desk-due-assign-what', { visits }), message('desk-due-assign-undo')];
  },
  done: (count) => message('desk-due-assign-done', { count }),
  left: (count) => message('desk-due-assign-left', { count }),
  was: (which, { visit }) => {
    const name = people.find(({ id }) => id === visit?.assignedTo)?.name;
    return name === undefined
      ? message('desk-due-was-unassigned', which)
      : message('desk-due-was-assigned', { ...which, name });
  },
  wasNot: (which) => message('desk-due-not-assigned', which),
});

/** Says that lines are on no visit, and leads to planning one. */
const Unplanned = ({
  lines,
  onPlan,
}: {
  lines: readonly DueLine[];
  onPlan: (lines: readonly DueLine[]) => void;
}) => (
  <>
    <p>{tell(message('desk-due-assign-unplanned', { count: lines.length }))}</p>
    <p>
      <button type="button" onClick={() => onPlan(lines)}>
        {tell(message('desk-due-assign-plan-first'))}
      </button>
    </p>
  </>
);

function Who({
  who,
  people,
  problems,
}: {
  who: Signal<string>;
  people: People;
  problems: readonly unknown[];
}) {
  return (
    <Field label={tell(message('desk-due-assign-who'))} faults={faultsOf(problems, '/personId')}>
      {(about) => (
        <select {...about} value={who} onChange={(e) => (who.value = e.currentTarget.value)}>
          <option value="" disabled>
            {tell(message('desk-due-assign-choose'))}
          </option>
          {people.map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
          <option value={NOBODY}>{tell(message('desk-due-assign-nobody'))}</option>
        </select>
      )}
    </Field>
  );
}

/** Asks who does the visits of some lines. Lines that are on no visit are said, and left. */
export function Assign({
  lines,
  onClose,
  onPlan,
}: {
  lines: readonly DueLine[];
  /** @param given those whose visit went to the person */
  onClose: (given: readonly string[]) => void;
  /** Plans a visit for lines that are on none. */
  onPlan: (lines: readonly DueLine[]) => void;
}) {
  const people = usePeople();
  const who = useSignal('');
  const booked = lines.filter((line): line is BookedLine => line.visit !== null);
  const unplanned = lines.filter(({ visit }) => visit === null);
  const more = unplanned.length > 0 && <Unplanned lines={unplanned} onPlan={onPlan} />;
  if (booked.length === 0)
    return (
      <Dialog title={tell(message('desk-due-assign'))} onClose={() => onClose([])}>
        {more}
      </Dialog>
    );
  const personId = who.value === NOBODY ? null : who.value;
  const work = (some: readonly NamedLine[]) =>
    doToLines(some, (ids) => assignVisits(booked, new Set(ids), personId));
  return (
    <LinesDialog
      {...{ work, onClose }}
      lines={booked.map(named)}
      words={wordsOf(booked, people)}
      fields={['/personId']}
      isReady={who.value !== ''}
    >
      {(problems) => (
        <>
          {more}
          <Who {...{ who, problems }} people={ableAt(people, booked)} />
        </>
      )}
    </LinesDialog>
  );
}
