import { useSignal } from '@preact/signals';
import { useLocation, useParams } from 'wouter-preact';
import { LEVEL_WORDS } from '../../../../../src/domain/checks/level-marks.js';
import type { Unit } from '../../../../../src/domain/quantities/units.js';
import { Fault } from '../../kit/parts/fault.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { reader, tell } from '../../kit/texts/tell.js';
import { beginDraft, reportOf } from '../draft/draft.js';
import type { KnownVehicle } from '../known/known-vehicle.js';
import { loadVehicle } from '../loading/load-vehicle.js';
import { finish } from '../outbox/outbox.js';
import { numberTyped, type TypedReading } from '../readings/typed-reading.js';
import { who } from '../signed-in/who.js';
import { newId, StoreFullError } from '../store/outbox.js';
import { message } from '../words/messages.js';
import { amountInWords, fieldName } from '../words/named.js';
import { Amount, YesNo } from './parts/controls.js';

/** How long a slip of the finger can be taken back. */
const TAKEN_BACK_MS = 8_000;

type Kind = 'level-check' | 'top-up';

/** Keeps a single reading as a report of its own, which is known by its id. */
async function keepOne(vehicle: KnownVehicle, kind: Kind, typed: Pick<TypedReading, 'values' | 'units'>) {
  const now = new Date();
  const reading: TypedReading = { key: kind, kind, given: {}, ...typed };
  const begun = beginDraft(vehicle.card, reader.peek().units, who.peek()?.name ?? '');
  const draft = { ...begun, lines: [], readings: [reading] };
  const id = newId();
  await finish({
    ...{ id, who: who.peek()?.key ?? '', unitNumber: draft.unitNumber, finishedAt: now.toISOString() },
    ...{ report: reportOf(draft, id, now.toISOString()), draft, state: 'waiting', problem: null },
    ...{ answer: null, sentAt: null, heldUntil: new Date(now.getTime() + TAKEN_BACK_MS).toISOString() },
  });
  return id;
}

interface Keeping {
  keep: (typed: Pick<TypedReading, 'values' | 'units'>) => void;
}

function Level({ keep }: Keeping) {
  const cold = useSignal('');
  return (
    <>
      <YesNo label={fieldName('engineCold')} chosen={cold.value} onChoose={(value) => (cold.value = value)} />
      <div class="actions">
        {LEVEL_WORDS.map((level) => (
          <button
            key={level}
            type="button"
            class="main"
            onClick={() => keep({ values: { level, engineCold: cold.value }, units: {} })}
          >
            {tell(message(`phone-choice-${level}`))}
          </button>
        ))}
      </div>
    </>
  );
}

/** Amounts as a jug has marks, in quarts or litres. */
const AMOUNTS = ['0.5', '1', '2', '3', '4'];

function TopUp({ keep }: Keeping) {
  const water = useSignal('');
  const other = useSignal('');
  const { units } = reader.value;
  const unit: Unit = units === 'us' ? 'qt' : 'L';
  const take = (added: string): void =>
    keep({
      values: { added, ...(water.value === 'yes' ? { strengthPercent: '0' } : {}) },
      units: { added: unit },
    });
  const isNumber = (numberTyped(other.value) ?? 0) > 0;
  return (
    <>
      <YesNo
        label={tell(message('phone-only-water'))}
        chosen={water.value}
        onChoose={(value) => (water.value = value)}
      />
      <div class="actions">
        {AMOUNTS.map((added) => (
          <button key={added} type="button" class="main" onClick={() => take(added)}>
            {amountInWords(Number(added), unit)}
          </button>
        ))}
      </div>
      <Amount
        label={tell(message('phone-other-amount'))}
        text={other.value}
        onText={(text) => (other.value = text)}
        unit={unit}
        units={[unit]}
      />
      <button type="button" disabled={!isNumber} onClick={() => take(other.value)}>
        {tell(message('phone-send'))}
      </button>
    </>
  );
}

function Quick({ kind }: { kind: Kind }) {
  const { id } = useParams<{ id: string }>();
  const person = who.value?.key ?? '';
  const { state, reload } = useLoaded(() => loadVehicle(person, id), [person, id]);
  const fault = useSignal<unknown>(null);
  const [, go] = useLocation();
  const keepFor =
    (vehicle: KnownVehicle): Keeping['keep'] =>
    (typed) => {
      keepOne(vehicle, kind, typed).then(
        (report) => go(`/sent/${report}`),
        (problem: unknown) => (fault.value = problem),
      );
    };
  return (
    <Shown state={state} again={reload}>
      {({ value }) => (
        <>
          <Heading>
            {`${value.card.vehicle.unitNumber}: ${tell(message(kind === 'top-up' ? 'phone-top-up' : 'phone-level'))}`}
          </Heading>
          <p>{tell(message('phone-cold-first'))}</p>
          {kind === 'top-up' ? <TopUp keep={keepFor(value)} /> : <Level keep={keepFor(value)} />}
          {fault.value instanceof StoreFullError && (
            <p class="fault" role="alert">
              {tell(message('phone-no-room'))}
            </p>
          )}
          {fault.value !== null && !(fault.value instanceof StoreFullError) && (
            <Fault problem={fault.value} />
          )}
        </>
      )}
    </Shown>
  );
}

export const QuickLevel = () => <Quick kind="level-check" />;
export const QuickTopUp = () => <Quick kind="top-up" />;
