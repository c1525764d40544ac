import type { Unit } from '../../../../../src/domain/quantities/units.js';
import { unitInWords } from '../../../../../src/domain/quantities/wording.js';
import { messages } from '../../../../../src/domain/message.js';
import { tell } from '../../kit/texts/tell.js';
import type { TypedReading } from '../readings/typed-reading.js';
import { message } from './messages.js';

const named = (code: string): string => tell({ code, values: {} });
const term = messages({ 'part-in-circuit': { part: 'text', circuit: 'text' } });

/** `Hold test`, with what it is of. */
export function readingInWords({ kind, circuit, given }: TypedReading): string {
  const which = given['fastener'] ?? given['item'];
  const kindNamed = named(`reading-${kind}`);
  const part = which === undefined ? kindNamed : `${kindNamed}: ${which}`;
  const words = circuit
    ? tell(term('part-in-circuit', { part, circuit: named(`circuit-${circuit}`) }))
    : part;
  return words.charAt(0).toLocaleUpperCase() + words.slice(1);
}

/** `12.5 lbf·ft` */
export const amountInWords = (value: number, unit: Unit): string => `${value} ${unitInWords(unit)}`;

export const verdictInWords = (verdict: 'pass' | 'fail' | 'inconclusive' | null): string =>
  tell(message(`phone-verdict-${verdict ?? 'none'}`));

/** The name of a field of a reading. */
export const fieldName = (name: string): string => tell(message(`phone-field-${name as 'start'}`));
