import { circuitTerm } from '../../../domain/intervals/terms.js';
import { numberInWords } from '../../../platform/words/quantity-words.js';
import type { JobCardView } from '../card/job-card.dto.js';
import type { Row } from './card-row.js';
import { message as shared } from '../../../platform/words/messages.js';
import { message } from './messages.js';
import { lossOnGauge, onGauge } from './on-gauge.js';
import type { Wording } from './wording.js';

type HoldTest = NonNullable<JobCardView['holdTest']>;

/** The hold test that belongs to the work, and the one that proves a leak is fixed. */
export function holdTestRows(card: JobCardView, wording: Wording): Row[] {
  return [card, ...card.otherCircuits].flatMap((of) => rowsOfCircuit(of, wording));
}

function rowsOfCircuit(
  { circuit, holdTest, proofTest }: Pick<JobCardView, 'circuit' | 'holdTest' | 'proofTest'>,
  wording: Wording,
): Row[] {
  const { say } = wording;
  return [
    ...(circuit === undefined || (holdTest ?? proofTest) === null
      ? []
      : [{ text: say(message('card-page-hold-test-in-circuit', { circuit: circuitTerm(circuit) })) }]),
    ...(holdTest === null ? [] : rowsOf(holdTest, 'no', wording)),
    ...(proofTest === null ? [] : rowsOf(proofTest, 'yes', wording)),
  ];
}

function rowsOf(test: HoldTest, proof: 'yes' | 'no', { say, amount, locale }: Wording): Row[] {
  const { method, target, greatestVacuum, minutes, allowedLoss } = test;
  const rows: Row[] = [
    {
      text: say(message('card-page-hold-target', { method, proof, ...limitOf(test, amount) })),
      value: target === null ? say(shared('not-known')) : onGauge(method, target, locale),
    },
  ];
  if (greatestVacuum !== null)
    rows.push({ text: say(message('card-page-greatest-vacuum')), value: amount(greatestVacuum, 'down') });
  rows.push({
    text: say(message('card-page-hold-loss')),
    value: `${numberInWords(minutes, locale)} min, ${lossOnGauge(method, allowedLoss, locale)}`,
  });
  return rows;
}

/**
 * For a vacuum, the target at sea level. For a pressure, the highest that the system may be tested
 * at.
 */
function limitOf(
  { targetAtSeaLevel, greatestPressure }: HoldTest,
  amount: Wording['amount'],
): { limit: 'sea' | 'never' | 'none'; amount: string } {
  if (targetAtSeaLevel !== null) return { limit: 'sea', amount: amount(targetAtSeaLevel) };
  if (greatestPressure !== null) return { limit: 'never', amount: amount(greatestPressure, 'down') };
  return { limit: 'none', amount: '' };
}
