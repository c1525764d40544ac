import { isMessage } from '../../domain/message.js';
import { inSystem, isMeasure, type Measure, type UnitSystem } from '../../domain/quantities/measures.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { presentMessage } from '../words/present-message.js';
import type { UnitReader } from '../words/render.js';
import { rounded } from './measures.js';
import { isPosted, unwrapped } from './posted.js';

/** A quantity; a rate also has limits. */
type ShownMeasure = Quantity & { low?: number; high?: number };

/**
 * Converts each measure in an answer to the reader's units, and each message to the reader's
 * language and units. Objects without any are returned unchanged. Others are copied, because an
 * answer may share parts with data that is kept.
 */
export function present(answer: unknown, reader: UnitReader): unknown {
  const { units } = reader;
  if (typeof answer === 'number') return rounded(answer);
  if (typeof answer !== 'object' || answer === null) return answer;
  if (answer instanceof Date) return answer.toISOString();
  if (isPosted(answer)) return unwrapped(answer);
  if (isMeasure(answer)) return presentMeasure(answer, units);
  if (isMessage(answer)) return presentMessage(answer, reader);
  const given = answer as Record<string, unknown>;
  let copy: Record<string, unknown> | undefined;
  for (const key of Object.keys(given)) {
    const value = given[key];
    if (typeof value === 'string' || value === null) continue;
    const shown = present(value, reader);
    if (shown === value) continue;
    copy ??= (Array.isArray(given) ? [...given] : { ...given }) as Record<string, unknown>;
    copy[key] = shown;
  }
  return copy ?? answer;
}

function presentMeasure(given: Measure, units: UnitSystem): ShownMeasure {
  const quantity = inSystem(given.measure, given.value, units);
  const limits = given as { low?: number; high?: number };
  const shown = (limit: number): number => rounded(inSystem(given.measure, limit, units).value);
  return {
    value: rounded(quantity.value),
    unit: quantity.unit,
    ...(limits.low === undefined ? {} : { low: shown(limits.low) }),
    ...(limits.high === undefined ? {} : { high: shown(limits.high) }),
  };
}
