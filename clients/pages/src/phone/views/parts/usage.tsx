import type { Quantity } from '../../../../../../src/domain/quantities/units.js';
import { quantityAsRead } from '../../../../../../src/domain/quantities/as-read.js';
import { convert } from '../../../../../../src/domain/quantities/units.js';
import { tell } from '../../../kit/texts/tell.js';
import type { Draft } from '../../draft/draft.js';
import type { Card } from '../../known/known-vehicle.js';
import { numberTyped } from '../../readings/typed-reading.js';
import { message } from '../../words/messages.js';
import { Amount } from './controls.js';
import { FaultOf } from './faults.js';

/** How far from what is expected a counter may be before it is asked about. */
const FAR = 0.2;
const LEAST_KM = 500;

/** Whether a typed odometer is far from the expected one. @param expected null: nothing is known */
export function isFarOff(draft: Draft, expected: Quantity | null): boolean {
  const typed = numberTyped(draft.odometer);
  if (typed === null || expected === null) return false;
  const typedKm = convert(typed, draft.odometerUnit, 'km');
  const expectedKm = convert(expected.value, expected.unit, 'km');
  return Math.abs(typedKm - expectedKm) > Math.max(LEAST_KM, FAR * expectedKm);
}

/** The counters, with a question where they are far from what the records expect. */
export function Usage({
  draft,
  card,
  change,
}: {
  draft: Draft;
  card: Card;
  change: (changed: Partial<Draft>) => void;
}) {
  const expected = card.vehicle.estimatedOdometer as Quantity | null;
  const isWrong = (text: string): boolean => text.trim() !== '' && numberTyped(text) === null;
  return (
    <section>
      <h2>{tell(message('phone-counters'))}</h2>
      <Amount
        label={tell(message('phone-odometer'))}
        text={draft.odometer}
        onText={(odometer) => change({ odometer })}
        unit={draft.odometerUnit}
        units={['mi', 'km']}
        onUnit={(odometerUnit) => change({ odometerUnit })}
        isWrong={isWrong(draft.odometer)}
        describedBy="about-odometer"
      />
      <FaultOf at="/odometer" />
      <div id="about-odometer" role="status">
        {isWrong(draft.odometer) && (
          <p>{tell(message('phone-not-a-number', { fields: [tell(message('phone-odometer'))] }))}</p>
        )}
        {expected !== null && isFarOff(draft, expected) && (
          <p class="question">
            {tell(message('phone-odometer-far', { expected: quantityAsRead(expected) }))}
          </p>
        )}
      </div>
      <Amount
        label={tell(message('phone-engine-hours'))}
        text={draft.engineHours}
        onText={(engineHours) => change({ engineHours })}
        unit="h"
        units={['h']}
        isWrong={isWrong(draft.engineHours)}
      />
    </section>
  );
}
