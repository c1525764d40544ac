import type { Judgement } from './contract/kind-of-reading.js';
import { type FindingOfReading, kindOf, type Reading } from './kinds.js';

/**
 * What an evaluated reading found that leaves something to be done; `follow-ups/follow-up-table.ts`
 * says what.
 *
 * @returns each finding once; none where the reading passed and nothing wrong was poured in
 * @example findingsOfReading({ kind: 'cap-test', … }, { verdict: 'fail', computed: {} }) // ['cap-failed']
 */
export function findingsOfReading(reading: Reading, judgement: Judgement): FindingOfReading[] {
  return [...new Set(kindOf(reading).findings(reading, judgement) as FindingOfReading[])];
}
