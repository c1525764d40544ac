import { useSignal } from '@preact/signals';
import { ProblemError } from '../../../../../typescript/src/client.js';
import { Dialog } from '../../../kit/parts/dialog.js';
import { Shown } from '../../../kit/parts/loading.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import { service } from '../../../kit/service/session.js';
import { reader, tell } from '../../../kit/texts/tell.js';
import type { Vehicle } from '../types.js';
import type { LoadedVehicle } from '../vehicle/load-vehicle.js';
import { message } from '../words/messages.js';
import { dutyChoices, monthsInWords, statusChoices } from '../words/words.js';
import { type AllChoices, loadChoices } from './choices.js';
import { changesOf, type Draft, draftOf, type Field, onTopOf } from './draft.js';
import { FaultOfForm } from './fault-of-form.js';
import { fieldName, VehicleFields } from './fields.js';

/** A change by somebody else, while this form was open. */
interface Meanwhile {
  field: Field;
  before: string;
  now: string;
}

/** The value of a field as a person reads it. */
function shownValue(field: Field, value: string, choices: AllChoices): string {
  if (value === '') return tell(message('desk-vehicle-none'));
  if (field === 'inUseMonths') return monthsInWords(value.split(',').map(Number));
  const named = { ...choices, status: statusChoices(), duty: dutyChoices() };
  const of = field in named ? named[field as keyof typeof named] : [];
  return of.find(([one]) => one === value)?.[1] ?? value;
}

/** Says what somebody else changed meanwhile. What was typed stays. */
function Conflict({ changes, choices }: { changes: readonly Meanwhile[]; choices: AllChoices }) {
  if (changes.length === 0) return null;
  return (
    <div class="fault" role="alert">
      <p>{tell(message('desk-vehicle-changed-meanwhile'))}</p>
      <ul class="dots">
        {changes.map(({ field, before, now }) => (
          <li key={field}>
            {tell(
              message('desk-vehicle-change', {
                field: fieldName(field, reader.value.units),
                before: shownValue(field, before, choices),
                now: shownValue(field, now, choices),
              }),
            )}
          </li>
        ))}
      </ul>
    </div>
  );
}

/** The state of the form, and what saves it. */
function useEditing(loaded: Vehicle, onSaved: () => void) {
  const base = useSignal(loaded);
  const draft = useSignal<Draft>(draftOf(loaded));
  const problem = useSignal<unknown>(null);
  const meanwhile = useSignal<readonly Meanwhile[]>([]);
  const path = { id: loaded.id };
  const takeUp = async (): Promise<void> => {
    const { data: now } = await service().get('/v1/vehicles/{id}', { path });
    const [before, after] = [draftOf(base.value), draftOf(now)];
    const { draft: merged, changed } = onTopOf(after, before, draft.value);
    meanwhile.value = changed.map((field) => ({ field, before: before[field], now: after[field] }));
    base.value = now;
    draft.value = merged;
  };
  const save = async (): Promise<void> => {
    problem.value = null;
    const body = changesOf(draftOf(base.value), draft.value, reader.value.units);
    if (Object.keys(body).length === 0) return onSaved();
    try {
      await service().patch('/v1/vehicles/{id}', { path, body, ifMatch: `"${base.value.version}"` });
      onSaved();
    } catch (fault) {
      try {
        if (fault instanceof ProblemError && fault.status === 412) await takeUp();
        else problem.value = fault;
      } catch (worse) {
        problem.value = worse;
      }
    }
  };
  return { draft, problem, meanwhile, save };
}

function Form({ vehicle, choices, onSaved }: { vehicle: Vehicle; choices: AllChoices; onSaved: () => void }) {
  const { draft, problem, meanwhile, save } = useEditing(vehicle, onSaved);
  const isBusy = useSignal(false);
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    isBusy.value = true;
    await save();
    isBusy.value = false;
  };
  return (
    <form onSubmit={(event) => void submit(event)} noValidate>
      <Conflict changes={meanwhile.value} choices={choices} />
      <VehicleFields
        form={{
          ...{ draft: draft.value, problem: problem.value, choices, units: reader.value.units },
          type: (field, value) => (draft.value = { ...draft.value, [field]: value }),
        }}
      />
      <p class="faint">{tell(message('desk-vehicle-from-today'))}</p>
      <FaultOfForm problem={problem.value} />
      <button type="submit" disabled={isBusy.value}>
        {tell(message('desk-vehicle-save'))}
      </button>
    </form>
  );
}

/** Changes the facts of a vehicle. */
export function EditVehicle({
  loaded: { vehicle },
  onClose,
}: {
  loaded: LoadedVehicle;
  onClose: (isChanged: boolean) => void;
}) {
  const { state, reload } = useLoaded(loadChoices, []);
  const unit = vehicle.unitNumber;
  return (
    <Dialog title={tell(message('desk-vehicle-edit-title', { unit }))} onClose={() => onClose(false)}>
      <Shown state={state} again={reload}>
        {(choices) => <Form {...{ vehicle, choices }} onSaved={() => onClose(true)} />}
      </Shown>
    </Dialog>
  );
}
