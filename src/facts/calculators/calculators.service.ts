import { Injectable } from '@nestjs/common';
import { calculateBelt } from '../../domain/belt/belt-check.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { calculateBoilOver } from '../../domain/coolant/boil-over.js';
import { calculateDilution } from '../../domain/filling/dilution.js';
import { calculateFreezePoint } from '../../domain/strength/freeze-point.js';
import type { Evaluation } from '../../domain/evaluation/evaluation.js';
import { calculateTorqueSet } from '../../domain/fastening/calculate-torque-set.js';
import { calculateProjection } from '../../domain/intervals/calculate-projection.js';
import { atmosphereAt } from '../../domain/atmosphere/atmosphere.js';
import { evaluateHoldTest } from '../../domain/pressure/hold-test.js';
import { overPressure } from '../../domain/pressure/over-pressure.js';
import { calculateVacuumFill } from '../../domain/pressure/vacuum-fill.js';
import { requireReachableVacuum } from '../../domain/pressure/vacuum-target.js';
import { type Quantity, type Unit, valueIn } from '../../domain/quantities/units.js';
import { ruleOf } from '../../register/interval-plans/interval-plan-columns.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import { type FieldFault, unacceptable } from '../../platform/problems/problem.js';
import { pointersOf, refusingImpossible } from '../../platform/problems/range-problem.js';
import { answerOf, type CalculatorName } from './calculator-answers.js';
import { beltFaults, projectionFaults, torqueSetFaults } from './calculator-faults.js';
import type {
  BeltCalculation,
  BoilOverCalculation,
  DilutionCalculation,
  FreezePointCalculation,
  HoldTestCalculation,
  ProjectionCalculation,
  TorqueSetCalculation,
  VacuumFillCalculation,
} from './calculator.dto.js';
import { intervalOf } from './projection-interval.js';
import { beltCheck } from '../readings/kinds/belt-check/belt-check.kind.js';
import { freezePoint } from '../readings/kinds/freeze-point/freeze-point.kind.js';
import { holdTest } from '../readings/kinds/hold-test/hold-test.kind.js';
import { canonicalTorques } from '../readings/kinds/torque-set/torque-set.kind.js';

/** Fields whose name in the domain differs from their name in the body. */
const ALIASES: Record<string, string> = {
  'minutes allowed': '/allowedMinutes',
  strength: '/strengthPercent',
  volumePercent: '/strengthPercent',
  refillStrength: '/refillStrengthPercent',
  targetStrength: '/targetStrengthPercent',
  ...freezePoint.fields,
};

/** The calculators. They store nothing, and read nothing of the fleet except its time zone. */
@Injectable()
export class CalculatorsService {
  constructor(private readonly clock: Clock) {}

  holdTest(input: HoldTestCalculation): Evaluation {
    return calculated('hold-test', input, [], () => {
      requireTarget(input);
      const { coolantTemperature, startTemperature, endTemperature } = input;
      const reading = {
        ...holdTest.canonical({ ...input, kind: 'hold-test' }),
        temperatureUnit: (coolantTemperature ?? startTemperature ?? endTemperature)?.unit,
      };
      return evaluateHoldTest(reading, {
        ...placeOf(input),
        targetKpa: canonicalOf('vacuum', input.target),
        allowedLossKpa: canonicalOf('vacuum', input.allowedLoss),
        allowedMinutes: input.allowedMinutes,
        capRatingKpa: canonicalOf('pressure', input.capRating),
        strengthPercent: input.strengthPercent,
        volumeL: canonicalOf('volume', input.volume),
        overPressure: 'refuse',
      });
    });
  }

  freezePoint(input: FreezePointCalculation): Evaluation {
    return calculated('freeze-point', input, [], () =>
      calculateFreezePoint({
        ...freezePoint.canonical({ ...input, kind: 'freeze-point' }),
        designLowTemperatureC: canonicalOf('temperature', input.designLowTemperature),
      }),
    );
  }

  dilution(input: DilutionCalculation): Evaluation {
    const { capacity, strengthPercent, refillStrengthPercent, targetStrengthPercent } = input;
    return calculated('dilution', input, [], () =>
      calculateDilution({
        capacityL: valueIn(capacity, 'L'),
        strengthPercent,
        refillStrengthPercent,
        targetStrengthPercent,
        unit: capacity.unit,
      }),
    );
  }

  boilOver(input: BoilOverCalculation): Evaluation {
    const { base, strengthPercent, capRating } = input;
    return calculated('boil-over', input, [], () =>
      calculateBoilOver({
        ...placeOf(input),
        base,
        strengthPercent,
        capRatingKpa: canonicalOf('pressure', capRating),
        unit: capRating?.unit,
      }),
    );
  }

  vacuumFill(input: VacuumFillCalculation): Evaluation {
    const { vacuum, volume } = input;
    return calculated('vacuum-fill', input, [], () =>
      calculateVacuumFill({
        ...placeOf(input),
        vacuumKpa: valueIn(vacuum, 'kPa'),
        volumeL: canonicalOf('volume', volume),
        unit: vacuum.unit,
        volumeUnit: volume?.unit,
      }),
    );
  }

  torqueSet(input: TorqueSetCalculation): Evaluation {
    return calculated('torque-set', input, torqueSetFaults(input), () =>
      calculateTorqueSet({
        ...canonicalTorques(input),
        torqueNm: valueIn(input.torque, 'N.m'),
        tolerancePercent: input.tolerancePercent,
      }),
    );
  }

  belt(input: BeltCalculation): Evaluation {
    return calculated('belt', input, beltFaults(input), () =>
      calculateBelt({
        ...beltCheck.canonical({ ...input, kind: 'belt-check' }),
        designation: input.designation,
      }),
    );
  }

  projection(input: ProjectionCalculation): Evaluation {
    const { readings, interval, lastDone } = input;
    const timeZone = input.timeZone ?? fleetScope().timeZone;
    return calculated('projection', input, projectionFaults(input), () =>
      calculateProjection({
        readings: readings.map(({ readAt, odometer, engineHours }) => ({
          at: instantOf(readAt),
          odometerKm: canonicalOf('distance', odometer),
          engineHours: canonicalOf('engine-hours', engineHours),
        })),
        rule: interval ? ruleOf(intervalOf(interval)) : null,
        duty: input.duty ?? 'normal',
        lastDone: lastDone
          ? {
              on: lastDone.on,
              odometerKm: canonicalOf('distance', lastDone.odometer),
              engineHours: canonicalOf('engine-hours', lastDone.engineHours),
            }
          : null,
        timeZone,
        asOf: dayOf(input.asOf, timeZone, this.clock.now()),
        unit: typedDistance(input),
      }),
    );
  }
}

/**
 * Runs a calculation whose fields are valid one by one.
 *
 * @throws Problem 422 for impossible values, with the field where it is known
 */
function calculated(
  name: CalculatorName,
  input: object,
  faults: FieldFault[],
  calculate: () => Evaluation,
): Evaluation {
  if (faults.length > 0) throw unacceptable(faults);
  const pointers = { ...ALIASES, ...pointersOf(input) };
  return answerOf(name, refusingImpossible(pointers, calculate));
}

function placeOf({ elevation, barometer }: { elevation?: Quantity | null; barometer?: Quantity | null }) {
  // Checked first and on its own, so that an error message uses the unit of the barometer reading.
  if (barometer) atmosphereAt({ barometerKpa: valueIn(barometer, 'kPa') }, barometer.unit);
  return { elevationM: canonicalOf('elevation', elevation), barometerKpa: canonicalOf('vacuum', barometer) };
}

/** Rejects a target by the rules for a reading of that value, before anybody tries to reach it. */
function requireTarget({ method, target, capRating }: HoldTestCalculation): void {
  if (!target) return;
  const targetKpa = valueIn(target, 'kPa');
  const { unit } = target;
  if (method === 'vacuum') requireReachableVacuum('target', targetKpa, unit);
  else {
    refusingImpossible({ start: '/target' }, () =>
      overPressure(
        { startKpa: targetKpa, endKpa: targetKpa, unit },
        canonicalOf('pressure', capRating),
        'refuse',
      ),
    );
  }
}

function instantOf(text: string): number {
  return Date.parse(text.replace(' ', 'T').toUpperCase());
}

function dayOf(asOf: string | null | undefined, timeZone: string, now: Date): string {
  if (asOf == null) return civilDateAt(now.getTime(), timeZone);
  return asOf.length > 10 ? civilDateAt(instantOf(asOf), timeZone) : asOf;
}

function typedDistance({ readings, lastDone }: ProjectionCalculation): Unit {
  const typed = lastDone?.odometer ?? readings.find(({ odometer }) => odometer)?.odometer;
  return typed?.unit === 'mi' ? 'mi' : 'km';
}
