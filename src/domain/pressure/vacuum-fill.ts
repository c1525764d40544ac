import { atmosphereAt, type Whereabouts } from '../atmosphere/atmosphere.js';
import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { measure } from '../quantities/measures.js';
import { requireNotNegative, requirePositive } from '../quantities/plausible.js';
import { roundedToRead } from '../quantities/rounding.js';
import { told } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { message } from './messages.js';
import { acceptVacuum, greatestVacuumKpa } from './vacuum-limit.js';

/**
 * The share of the evacuated space that is still air: what stays behind as a bubble when coolant
 * has been drawn in.
 *
 * Source: Boyle's law at constant temperature (own derivation).
 *
 * @param vacuumKpa kPa of vacuum
 * @param atmosphereKpa kPa absolute
 * @returns 0 to 1
 * @example airLeftFraction(81.27333, 101.325) // 0.19789: 24 inHg at sea level
 */
export function airLeftFraction(vacuumKpa: number, atmosphereKpa: number): number {
  return 1 - vacuumKpa / atmosphereKpa;
}

/** A vacuum fill to be planned; the vacuum in kPa, the evacuated volume in L. */
export interface VacuumFillInput extends Whereabouts {
  vacuumKpa: number;
  volumeL?: number | null;
  /** The pressure unit that was typed. */
  unit?: Unit;
  /** The volume unit that was typed. */
  volumeUnit?: Unit;
}

/**
 * How much a vacuum fill draws in, and how much is to be topped up before the engine is started.
 *
 * @param input kPa of vacuum, L, m of elevation or kPa of barometer
 * @returns verdict null; computed: `airLeftFraction`, `expectedUptake` and `topUpBeforeStart` (null
 * without a volume), `greatestVacuum`
 * @throws ImpossibleValue for a vacuum that the air there cannot give, or a volume that is not
 *   above zero.
 * @example calculateVacuumFill({ vacuumKpa: 81.27333, volumeL: 10, elevationM: 1500 }).computed.airLeftFraction // 0.03886
 */
export function calculateVacuumFill(input: VacuumFillInput): Evaluation {
  const unit = input.unit ?? 'kPa';
  requireNotNegative('vacuum', input.vacuumKpa, 'kPa');
  const atmosphere = atmosphereAt(input, unit);
  const accepted = acceptVacuum('vacuum', input.vacuumKpa, atmosphere, 0, unit, null);
  const volumeL = input.volumeL ?? null;
  if (volumeL !== null) requirePositive('volume', volumeL, 'L');
  const left = airLeftFraction(input.vacuumKpa, accepted.atmosphereKpa);
  const percent = roundedToRead(100 * left, '%', 'nearest');
  const reasons = [message('vacuum-fill-air-left', { percent })];
  if (volumeL !== null) {
    const volumeUnit = input.volumeUnit ?? 'L';
    const uptake = told('volume', volumeL * (1 - left), volumeUnit);
    const topUp = told('volume', volumeL * left, volumeUnit);
    reasons.push(message('vacuum-fill-uptake', { uptake, topUp }));
  }
  if (accepted.note !== null) reasons.push(accepted.note);
  return {
    verdict: null,
    reasons,
    computed: {
      airLeftFraction: left,
      expectedUptake: volumeL === null ? null : measure('volume', volumeL * (1 - left)),
      topUpBeforeStart: volumeL === null ? null : measure('volume', volumeL * left),
      greatestVacuum: measure('vacuum', greatestVacuumKpa(accepted.atmosphereKpa)),
    },
    cautions: cautionsFor('filling'),
    basis: [atmosphere.basis, message('basis-vacuum-fill-air-left')],
  };
}
