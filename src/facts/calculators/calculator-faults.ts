import { intervalPlanFaults } from '../../register/interval-plans/interval-plan-faults.js';
import type { FieldFault } from '../../platform/problems/problem.js';
import type {
  BeltCalculation,
  ProjectionCalculation,
  ProjectionInterval,
  TorqueSetCalculation,
} from './calculator.dto.js';
import { intervalOf } from './projection-interval.js';

/**
 * Each field of a group that is missing while others of it are given: a sum that was meant would be
 * left out without a word.
 */
function togetherFaults<T extends object>(input: T, names: readonly (keyof T & string)[]): FieldFault[] {
  const given = names.filter((name) => input[name] != null);
  if (given.length === 0) return [];
  return names
    .filter((name) => input[name] == null)
    .map((name) => ({
      pointer: `/${name}`,
      detail: `is missing: ${given.join(', ')} ${given.length === 1 ? 'is' : 'are'} given, and ${names.join(', ')} go together`,
    }));
}

export function beltFaults(input: BeltCalculation): FieldFault[] {
  const alignment = ['offset', 'span'] as const;
  const slip = ['driverDiameter', 'drivenDiameter', 'driverRpm', 'drivenRpm'] as const;
  if (input.designation == null && [...alignment, ...slip].every((name) => input[name] == null)) {
    const detail = `has nothing to work out: give designation; or ${alignment.join(' and ')}; or ${slip.join(', ')}`;
    return [{ pointer: '', detail }];
  }
  return [...togetherFaults(input, alignment), ...togetherFaults(input, slip)];
}

export function torqueSetFaults({ values, setTo, count }: TorqueSetCalculation): FieldFault[] {
  if (values != null && setTo != null)
    return [
      {
        pointer: '/setTo',
        detail: 'is given beside values, which say the same in another way: leave one out',
      },
    ];
  if (values == null && setTo == null)
    return [{ pointer: '/values', detail: 'is missing: give each torque, or setTo with count' }];
  if (setTo != null && count == null)
    return [
      { pointer: '/count', detail: 'is missing: setTo is given, and says not how many were tightened to it' },
    ];
  return [];
}

export function projectionFaults({ readings, interval }: ProjectionCalculation): FieldFault[] {
  const empty = readings.flatMap(({ odometer, engineHours }, index) =>
    odometer == null && engineHours == null
      ? [{ pointer: `/readings/${index}`, detail: 'has neither odometer nor engineHours' }]
      : [],
  );
  return interval ? [...empty, ...intervalFaults(interval)] : empty;
}

/** An interval is judged as it would be in a plan of its own. */
function intervalFaults(interval: ProjectionInterval): FieldFault[] {
  return intervalPlanFaults({ name: '', intervals: [intervalOf(interval)] }).map(({ pointer, detail }) => ({
    pointer: pointer?.replace('/intervals/0', '/interval') ?? '',
    detail,
  }));
}
