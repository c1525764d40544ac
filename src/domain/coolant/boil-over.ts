import { type Atmosphere, atmosphereAt, type Whereabouts } from '../atmosphere/atmosphere.js';
import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { ImpossibleValue } from '../impossible-value.js';
import type { Message } from '../message.js';
import { measure, systemOf } from '../quantities/measures.js';
import { requireNotNegative } from '../quantities/plausible.js';
import { told, toldChange, toldPercent } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { baseTerm, type CoolantBase } from './coolant.js';
import { message } from './messages.js';
import { boilingPointC } from './saturation-line.js';
import { massPercentFromVolume, waterMoleFraction } from './strength-conversion.js';

/** How far the sum may be off, K: Raoult's law takes the mixture as ideal. */
export const BOIL_OVER_UNCERTAINTY_K = 1.5;

/**
 * Temperature at which the coolant boils: where water's vapour pressure, lowered by the glycol,
 * reaches the pressure in the system.
 *
 * Source: Raoult's law with the saturation line of IAPWS-IF97 (own derivation); glycol's own vapour
 * is left out. Good to ±1.5 K.
 *
 * @param massPercent glycol by mass, 0 to 100
 * @param absoluteKpa kPa absolute in the system
 * @returns °C
 * @throws ImpossibleValue where the mixture has too little water for the sum to mean anything.
 * @example boilOverC('ethylene-glycol', 50, 101.325) // 107.27
 */
export function boilOverC(base: CoolantBase, massPercent: number, absoluteKpa: number): number {
  const waterShare = waterMoleFraction(base, massPercent);
  if (massPercent > 90) {
    throw new ImpossibleValue({
      field: 'strength',
      value: massPercent,
      limit: { max: 90 },
      detail: message('coolant-nearly-neat', { strength: massPercent }),
    });
  }
  return boilingPointC(absoluteKpa / waterShare);
}

/** A boil-over sum to be made. */
export interface BoilOverInput extends Whereabouts {
  base: CoolantBase;
  /** Volume %. */
  strengthPercent: number;
  /** Gauge; absent or null for an open system. */
  capRatingKpa?: number | null;
  /** The pressure unit that was typed, for wording. */
  unit?: Unit;
  /** The unit of temperatures in texts; if absent, it follows the pressure's system. */
  temperatureUnit?: Unit;
}

/**
 * The boiling point under a cap at a place.
 *
 * @param input strength in volume %, cap rating in kPa gauge, m of elevation or kPa of barometer
 * @returns verdict null; computed: `boilsAt`, `absolutePressure`
 * @throws ImpossibleValue for a strength outside 0 to 100 % or nearly neat, or a negative rating.
 * @example calculateBoilOver({ base: 'ethylene-glycol', strengthPercent: 50, capRatingKpa: 103.42, elevationM: 0 }).computed.boilsAt // about 130.0 °C
 */
export function calculateBoilOver(input: BoilOverInput): Evaluation {
  const atmosphere = atmosphereAt(input, input.unit);
  const capRatingKpa = requireNotNegative('capRating', input.capRatingKpa ?? 0, 'kPa');
  const absoluteKpa = atmosphere.kpa + capRatingKpa;
  const massPercent = massPercentFromVolume(input.base, input.strengthPercent);
  const boilsAtC = boilOverC(input.base, massPercent, absoluteKpa);
  const system = systemOf(input.unit ?? 'kPa');
  const degrees = input.temperatureUnit ?? (system === 'us' ? 'F' : 'C');
  return {
    verdict: null,
    reasons: [boilsAt(input, boilsAtC, atmosphere, degrees)],
    computed: {
      boilsAt: measure('temperature', boilsAtC),
      absolutePressure: measure('pressure', absoluteKpa),
    },
    cautions: cautionsFor('cooling-system'),
    basis: [
      atmosphere.basis,
      message('basis-boil-over', {
        strength: toldPercent(input.strengthPercent),
        mass: Number(massPercent.toFixed(1)),
        uncertainty: toldChange(BOIL_OVER_UNCERTAINTY_K, degrees),
      }),
    ],
  };
}

function boilsAt(
  { base, strengthPercent, capRatingKpa, elevationM, unit = 'kPa' }: BoilOverInput,
  boilsAtC: number,
  atmosphere: Atmosphere,
  degrees: Unit,
): Message {
  const ratingKpa = capRatingKpa ?? 0;
  return message('coolant-boils-at', {
    strength: toldPercent(strengthPercent),
    base: baseTerm(base),
    boilsAt: told('temperature', boilsAtC, degrees),
    cap: ratingKpa === 0 ? 'open' : 'capped',
    rating: told('pressure', ratingKpa, unit),
    place: atmosphere.source,
    barometer: told('vacuum', atmosphere.kpa, unit),
    elevation: told('elevation', elevationM ?? 0, systemOf(unit) === 'us' ? 'ft' : 'm'),
  });
}
