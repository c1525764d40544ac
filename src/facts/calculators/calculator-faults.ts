import { intervalPlanFaults } from '../../register/interval-plans/interval-plan-faults.js';
import type { FieldFault } from '../../platform/problems/problem.js';
import type {
  BeltCalculation,
  ProjectionCalculation,
  ProjectionInterval,
  TorqueSetCalculation,
} from './calculator.dto.js';
import { intervalOf } from './projection-interval.js';
import { message } from './messages.js';

/**
 * Reports the missing fields of a group when others of the group are given. Without this, a
 * calculation that the user wanted would be left out silently.
 */
function togetherFaults<T extends object>(input: T, names: readonly (keyof T & string)[]): FieldFault[] {
  const given = names.filter((name) => input[name] != null);
  if (given.length === 0) return [];
  return names
    .filter((name) => input[name] == null)
    .map((name) => ({
      pointer: `/${name}`,
      detail: message('calculator-fields-together', {
        count: given.length,
        given,
        together: names,
      }),
    }));
}

export function beltFaults(input: BeltCalculation): FieldFault[] {
  const alignment = ['offset', 'span'] as const;
  const slip = ['driverDiameter', 'drivenDiameter', 'driverRpm', 'drivenRpm'] as const;
  if (input.designation == null && [...alignment, ...slip].every((name) => input[name] == null)) {
    return [{ pointer: '', detail: message('calculator-belt-empty') }];
  }
  return [...togetherFaults(input, alignment), ...togetherFaults(input, slip)];
}

export function torqueSetFaults({ values, setTo, count }: TorqueSetCalculation): FieldFault[] {
  if (values != null && setTo != null)
    return [
      {
        pointer: '/setTo',
        detail: message('calculator-torques-twice'),
      },
    ];
  if (values == null && setTo == null)
    return [{ pointer: '/values', detail: message('calculator-torques-missing') }];
  if (setTo != null && count == null)
    return [{ pointer: '/count', detail: message('calculator-torque-count-missing') }];
  return [];
}

export function projectionFaults({ readings, interval }: ProjectionCalculation): FieldFault[] {
  const empty = readings.flatMap(({ odometer, engineHours }, index) =>
    odometer == null && engineHours == null
      ? [{ pointer: `/readings/${index}`, detail: message('calculator-reading-empty') }]
      : [],
  );
  return interval ? [...empty, ...intervalFaults(interval)] : empty;
}

/** Applies the rules for an interval of a plan. */
function intervalFaults(interval: ProjectionInterval): FieldFault[] {
  return intervalPlanFaults({ name: '', intervals: [intervalOf(interval)] }).map(({ pointer, detail }) => ({
    pointer: pointer?.replace('/intervals/0', '/interval') ?? '',
    detail,
  }));
}
