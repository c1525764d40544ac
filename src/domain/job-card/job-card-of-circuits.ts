import { CAUTIONS } from '../cautions/cautions.js';
import { isInCircuit } from '../intervals/circuit-opening.js';
import type { Component } from '../intervals/types.js';
import type { Message } from '../message.js';
import { eachOnce } from '../same-message.js';
import type { CircuitName } from '../vehicles/circuits.js';
import { jobCard, type JobCardContent, type JobCardInput } from './job-card.js';
import type { Step } from './steps/steps.js';
import type { CardPart } from './to-bring/parts-for-job.js';

/** What a card says of a circuit besides the first that the job works in. */
export interface OtherCircuitOnCard extends Pick<
  JobCardContent,
  'opens' | 'coolant' | 'additive' | 'holdTest' | 'proofTest' | 'boilOver'
> {
  circuit: CircuitName | null;
}

export interface CardOfCircuits extends Omit<JobCardContent, 'parts'> {
  parts: (CardPart & { circuit?: CircuitName })[];
  /** What the fields about one circuit are about; null where the vehicle has only one. */
  circuit: CircuitName | null;
  otherCircuits: OtherCircuitOnCard[];
}

/** What is done once, however many circuits were worked in. */
const ONCE_AT_THE_END = 'road-test';

/**
 * The card of a job that may work in several circuits: the steps circuit by circuit, then the road
 * test once, then the rechecks. Every coolant stands by itself, because no two are mixed.
 *
 * @param inputs one for each circuit that the job works in, at least one; the lines in no circuit
 * are among those of the first
 */
export function jobCardOfCircuits(inputs: readonly [JobCardInput, ...JobCardInput[]]): CardOfCircuits {
  const cards = inputs.map((input) => ({ circuit: input.circuit ?? null, card: jobCard(input) }));
  const [first, ...others] = cards as [(typeof cards)[0], ...typeof cards];
  const all = cards.map(({ card }) => card);
  return {
    ...first.card,
    circuit: first.circuit,
    steps: inOrder(all.flatMap(({ steps }) => steps)),
    parts: cards.flatMap(({ circuit, card }) =>
      card.parts.map((part) => (circuit === null || isOutside(part) ? part : { ...part, circuit })),
    ),
    fasteners: onceEach(
      all.flatMap(({ fasteners }) => fasteners),
      ({ name }) => name,
    ),
    missing: eachOnce(all.flatMap(({ missing }) => missing)),
    cautions: cautionsInOrder(all.flatMap(({ cautions }) => cautions)),
    basis: eachOnce(all.flatMap(({ basis }) => basis)),
    otherCircuits: others.map(({ circuit, card }) => {
      const { opens, coolant, additive, holdTest, proofTest, boilOver } = card;
      return { circuit, opens, coolant, additive, holdTest, proofTest, boilOver };
    }),
  };
}

/** A belt or a fan belongs to no circuit. */
const isOutside = ({ component }: CardPart): boolean => !isInCircuit(component as Component);

/** Each once, in the order to read them: high voltage comes first. */
function cautionsInOrder(cautions: readonly Message[]): Message[] {
  const wanted = new Set(cautions.map(({ code }) => code));
  return CAUTIONS['whole-job'].filter(({ code }) => wanted.has(code));
}

function inOrder(steps: readonly Step[]): Step[] {
  const isLast = ({ step }: Step): boolean => step === ONCE_AT_THE_END || step === 'recheck';
  const drives = steps.filter(({ step }) => step === ONCE_AT_THE_END);
  // The caution stays if the vehicle is driven after work beside high voltage.
  const drive = drives.find(({ caution }) => caution !== undefined) ?? drives[0];
  return [
    ...steps.filter((step) => !isLast(step)),
    ...(drive === undefined ? [] : [drive]),
    ...steps.filter(({ step }) => step === 'recheck'),
  ];
}

function onceEach<T>(all: readonly T[], keyOf: (one: T) => string): T[] {
  return [...new Map(all.map((one) => [keyOf(one), one])).values()];
}
