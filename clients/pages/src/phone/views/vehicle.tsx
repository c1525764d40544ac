import { Link, useParams } from 'wouter-preact';
import { isToDoAtOnce, stateInWords, workInWords } from '../../kit/due/due-line.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { tell } from '../../kit/texts/tell.js';
import type { KnownVehicle } from '../known/known-vehicle.js';
import { loadVehicle } from '../loading/load-vehicle.js';
import { who } from '../signed-in/who.js';
import { message } from '../words/messages.js';
import { CardView } from './parts/card.js';
import { Age } from './parts/frame.js';

function DueLines({ dueLines }: Pick<KnownVehicle, 'dueLines'>) {
  const open = dueLines.filter(({ state }) => state !== 'not-due');
  if (open.length === 0) return <p>{tell(message('phone-nothing-due'))}</p>;
  return (
    <ul class="lines">
      {open.map((line) => (
        <li key={line.id} class={isToDoAtOnce(line) ? 'at-once' : undefined}>
          <strong>{workInWords(line)}</strong> · {stateInWords(line)}
          {line.causes.map(({ code, text }) => (
            <p key={code}>{text}</p>
          ))}
        </li>
      ))}
    </ul>
  );
}

function Known({ vehicle }: { vehicle: KnownVehicle }) {
  const { card, dueLines } = vehicle;
  const { id, unitNumber, make, model } = card.vehicle;
  return (
    <>
      <Heading>{unitNumber}</Heading>
      <p class="faint">{[make, model, card.specSheet?.name].filter(Boolean).join(' · ')}</p>
      {card.releasedWithFindings && (
        <p class="fault" role="alert">
          {card.releasedWithFindings.message.text}
        </p>
      )}
      <div class="actions">
        <Link href={`/v/${id}/report`} class="button main">
          {tell(message('phone-report'))}
        </Link>
        <Link href={`/v/${id}/level`} class="button">
          {tell(message('phone-level'))}
        </Link>
        <Link href={`/v/${id}/top-up`} class="button">
          {tell(message('phone-top-up'))}
        </Link>
      </div>
      <h2>{tell(message('phone-due'))}</h2>
      <DueLines dueLines={dueLines} />
      <CardView card={card} />
    </>
  );
}

/** A vehicle: what is open, its card, and what can be reported. */
export function Vehicle() {
  const { id } = useParams<{ id: string }>();
  const person = who.value?.key ?? '';
  const { state, reload } = useLoaded(() => loadVehicle(person, id), [person, id]);
  return (
    <Shown state={state} again={reload}>
      {({ value, at, isOld }) => (
        <>
          <Age at={at} isOld={isOld} />
          <Known vehicle={value} />
        </>
      )}
    </Shown>
  );
}
