import { useSignal } from '@preact/signals';
import type { Quantity } from '../../../../../../src/domain/quantities/units.js';
import { quantityAsRead } from '../../../../../../src/domain/quantities/as-read.js';
import { tell } from '../../../kit/texts/tell.js';
import type { Card } from '../../known/known-vehicle.js';
import { message } from '../../words/messages.js';
import { Tick } from './controls.js';

const amount = (quantity: unknown): string => quantityAsRead(quantity as Quantity);

function Torques({ fasteners }: Pick<Card, 'fasteners'>) {
  if (fasteners.length === 0) return null;
  return (
    <>
      <h3>{tell(message('phone-torques'))}</h3>
      <ul class="lines">
        {fasteners.map(({ name, count, torque, min, max, angle }) => (
          <li key={name}>
            <strong>
              {count} × {name}
            </strong>
            {': '}
            {torque === null ? `${amount(min)} – ${amount(max)}` : amount(torque)}
            {torque !== null && <span class="faint"> ({`${amount(min)} – ${amount(max)}`})</span>}
            {angle !== null && ` + ${angle}`}
          </li>
        ))}
      </ul>
    </>
  );
}

function Steps({ steps }: Pick<Card, 'steps'>) {
  const ticked = useSignal<ReadonlySet<number>>(new Set());
  const tick = (index: number, isTicked: boolean): void => {
    const next = new Set(ticked.value);
    if (isTicked) next.add(index);
    else next.delete(index);
    ticked.value = next;
  };
  return (
    <ol class="steps">
      {steps.map(({ message: said, caution }, index) => (
        <li key={`${index} ${said.code}`}>
          {caution && <p class="caution">{caution.text}</p>}
          <Tick isTicked={ticked.value.has(index)} onTick={(isTicked) => tick(index, isTicked)}>
            {said.text}
          </Tick>
        </li>
      ))}
    </ol>
  );
}

/** The job card: the cautions before anything else, then the steps to tick off, then the torques. */
export function CardView({ card }: { card: Card }) {
  if (card.steps.length === 0) return null;
  return (
    <>
      <h2>{tell(message('phone-card'))}</h2>
      <ul class="cautions">
        {card.cautions.map(({ code, text }) => (
          <li key={code} class="caution">
            {text}
          </li>
        ))}
      </ul>
      {card.missing.map(({ code, text }) => (
        <p key={code} class="faint">
          {text}
        </p>
      ))}
      <Torques fasteners={card.fasteners} />
      <h3>{tell(message('phone-steps'))}</h3>
      <Steps steps={card.steps} />
    </>
  );
}
