import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings } from '../evaluation/findings.js';
import { requireCoolantTemperature, requireNotNegative } from '../quantities/plausible.js';
import { told } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { message } from './messages.js';

/** The electrical conductivity of a coolant sample. */
export interface ConductivityReading {
  kind: 'conductivity';
  /** µS/cm, as the instrument showed it */
  conductivityUsPerCm: number;
  /** Temperature of the sample, °C; not needed where the instrument shows the value at 25 °C. */
  sampleTemperatureC?: number | null;
  /** The instrument compensates to 25 °C. */
  compensatedTo25C?: boolean | null;
  /** The temperature unit that was typed. */
  unit?: Unit;
}

/** The reference temperature of conductivity, °C (ISO 7888). */
const REFERENCE_C = 25;

/** A sample this near to the reference counts as at it; common practice, no source. */
const NEAR_K = 1;

/**
 * Judges the conductivity of a low-conductivity coolant at 25 °C by the limit of its circuit. There
 * is no default limit. Conductivity rises with temperature: a warm sample within the limit is
 * within it at 25 °C too, and a cold sample above the limit is above it. What lies between is not
 * known, because the temperature coefficient of the coolant is not.
 *
 * Source: ISO 7888 for the reference temperature of 25 °C (from memory); the limit is the vehicle
 * maker's, from the spec sheet.
 *
 * @param reading µS/cm, °C
 * @param maxUsPerCm the sheet's limit at 25 °C, µS/cm; null: none
 * @returns verdict null without a limit
 * @throws ImpossibleValue for a conductivity below zero or an impossible temperature.
 * @example evaluateConductivity({ kind: 'conductivity', conductivityUsPerCm: 180, compensatedTo25C: true }, 100).verdict // 'fail'
 */
export function evaluateConductivity(reading: ConductivityReading, maxUsPerCm: number | null): Evaluation {
  const read = requireNotNegative('conductivityUsPerCm', reading.conductivityUsPerCm, 'µS/cm');
  const findings = noFindings();
  if (maxUsPerCm !== null) judge(reading, read, maxUsPerCm, findings);
  const concluded = conclude(findings, message('conductivity-within-limit', { read, most: maxUsPerCm ?? 0 }));
  return {
    verdict: maxUsPerCm === null ? null : concluded.verdict,
    reasons: maxUsPerCm === null ? [message('conductivity-no-limit', { read })] : concluded.reasons,
    computed: {},
    cautions: cautionsFor('high-voltage-coolant'),
    basis: [message('basis-conductivity')],
  };
}

function judge(
  { sampleTemperatureC, compensatedTo25C, unit = 'C' }: ConductivityReading,
  read: number,
  most: number,
  { fails, doubts }: ReturnType<typeof noFindings>,
): void {
  const isAbove = read > most * (1 + 1e-9);
  const sampleC =
    sampleTemperatureC == null ? null : requireCoolantTemperature('sampleTemperature', sampleTemperatureC);
  const offK = compensatedTo25C === true ? 0 : sampleC === null ? null : sampleC - REFERENCE_C;
  if (offK === null) {
    doubts.push(message('conductivity-temperature-missing', { read, most }));
    return;
  }
  const isSure = Math.abs(offK) <= NEAR_K || (isAbove ? offK < 0 : offK > 0);
  if (!isSure)
    doubts.push(
      message('conductivity-other-temperature', { read, most, at: told('temperature', sampleC ?? 0, unit) }),
    );
  else if (isAbove) fails.push(message('conductivity-too-high', { read, most }));
}
