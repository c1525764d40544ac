import { MEASURES, type UnitSystem } from '../../../../../../src/domain/quantities/measures.js';
import { unitInWords } from '../../../../../../src/domain/quantities/wording.js';
import { tell } from '../../../kit/texts/tell.js';
import type { Draft } from '../../record-form/shape.js';
import { message } from './messages.js';

/** Values with their units, as they were typed. */
function typedValues(values: readonly (readonly [typed: string | undefined, unit: string])[]): string {
  return values.flatMap(([typed, unit]) => (typed ? [`${typed} ${unit}`] : [])).join(' · ');
}

/** How often an interval is due: `12000 mi · 12 months · 1000 h`. */
export function limitsInWords(
  { typed: { everyDistance, everyMonths, everyEngineHours } }: Draft,
  units: UnitSystem,
): string {
  return typedValues([
    [everyDistance, MEASURES.distance[units]],
    [everyMonths, tell(message('desk-plan-months', { count: Number(everyMonths) || 0 }))],
    [everyEngineHours, 'h'],
  ]);
}

/** What a group of fasteners is tightened to: `26 lbf·ft · 23 – 29 lbf·ft`. */
export function torqueInWords({ typed: { torque, min, max } }: Draft, units: UnitSystem): string {
  const unit = unitInWords(MEASURES.torque[units]);
  return typedValues([
    [torque, unit],
    [min && max ? `${min} – ${max}` : '', unit],
  ]);
}
