import { useSignal } from '@preact/signals';
import { tell } from '../../../kit/texts/tell.js';
import { type Draft, forgottenIn, saysAnything } from '../../draft/draft.js';
import { contextOf, type KnownVehicle } from '../../known/known-vehicle.js';
import { type Judged, judge } from '../../readings/judge.js';
import type { TypedReading } from '../../readings/typed-reading.js';
import { message } from '../../words/messages.js';
import { readingInWords } from '../../words/named.js';
import { lineInWords } from './draft-lines.js';

const isAsking = (judged: Judged): boolean =>
  judged.is === 'impossible' || (judged.is === 'judged' && judged.question !== null);

function List({ title, items }: { title: string; items: readonly string[] }) {
  if (items.length === 0) return null;
  return (
    <>
      <h3>{title}</h3>
      <ul class="dots">
        {items.map((item) => (
          <li key={item}>{item}</li>
        ))}
      </ul>
    </>
  );
}

/** What may have been forgotten or mistyped, before a report is sent. */
function Questions({ draft, vehicle }: { draft: Draft; vehicle: KnownVehicle }) {
  const { lines, empty, unfinished, odometer } = forgottenIn(draft);
  const judged = (reading: TypedReading): Judged =>
    judge(draft.readings, reading.key, (circuit) => contextOf(vehicle, circuit));
  const asking = draft.readings.filter((reading) => isAsking(judged(reading)));
  const failed = draft.readings.filter((reading) => {
    const one = judged(reading);
    return one.is === 'judged' && one.evaluation.verdict === 'fail';
  });
  const isAllThere =
    [lines, empty, unfinished, asking, failed].every(({ length }) => length === 0) && !odometer;
  if (isAllThere) return <p>{tell(message('phone-nothing-forgotten'))}</p>;
  return (
    <>
      <List title={tell(message('phone-check-failed'))} items={failed.map(readingInWords)} />
      <List title={tell(message('phone-check-asking'))} items={asking.map(readingInWords)} />
      <List title={tell(message('phone-check-unfinished'))} items={unfinished.map(readingInWords)} />
      <List title={tell(message('phone-check-empty'))} items={empty.map(readingInWords)} />
      <List title={tell(message('phone-check-lines'))} items={lines.map(lineInWords)} />
      {odometer && <p>{tell(message('phone-check-counters'))}</p>}
    </>
  );
}

/** First asks what was forgotten, then sends. */
export function Check({
  draft,
  vehicle,
  isFinishing,
  onSend,
}: {
  draft: Draft;
  vehicle: KnownVehicle;
  isFinishing: boolean;
  onSend: () => void;
}) {
  const isAsked = useSignal(false);
  if (!isAsked.value)
    return (
      <button type="button" class="main" onClick={() => (isAsked.value = true)}>
        {tell(message('phone-check'))}
      </button>
    );
  return (
    <section class="check">
      <h2>{tell(message('phone-forgotten'))}</h2>
      <Questions draft={draft} vehicle={vehicle} />
      {saysAnything(draft) ? (
        <button type="button" class="main" disabled={isFinishing} onClick={onSend}>
          {tell(message('phone-send'))}
        </button>
      ) : (
        <p role="status">{tell(message('phone-nothing-to-send'))}</p>
      )}
    </section>
  );
}
