import type { CoolantBase, CoolantTechnology } from '../coolant/coolant.js';
import type { CoolantForJob } from '../job-card/to-bring/coolant-for-job.js';
import type { StepName } from '../job-card/steps/steps.js';
import { measure, type Measure } from '../quantities/measures.js';
import { type CircuitName, isElectric } from '../vehicles/circuits.js';
import { wholeContainers } from './containers.js';
import { type ForVehicle, type VisitToPick, vehicleOf } from './visit-to-pick.js';

/** What is poured: concentrate and the water to mix it with, or coolant that is ready mixed. */
export const POURED_KINDS = ['concentrate', 'water', 'ready-mixed'] as const;
export type PouredKind = (typeof POURED_KINDS)[number];

/** Coolant or water to take from the store, in containers that hold nothing else. */
export interface CoolantToPick {
  kind: PouredKind;
  /** Null for water. */
  base: CoolantBase | null;
  /** Null for water, and where the spec sheet does not say. */
  technology: CoolantTechnology | null;
  /** Volume % of concentrate; null for water. */
  strengthPercent: number | null;
  /** What the containers are kept to; null: any circuit that takes this coolant. */
  circuit: CircuitName | null;
  /** It goes into a circuit beside high voltage. */
  isElectric: boolean;
  /** It replaces the concentrate and the water of the same vehicles. */
  insteadOfMixing: boolean;
  /** What the work needs altogether. */
  volume: Measure;
  /** Whole containers. */
  containers: number;
  /** `volume` is null for topping up: how much goes in is seen at the vehicle. */
  for: (ForVehicle & { circuit: CircuitName; volume: Measure | null })[];
}

interface Pour extends Pick<
  CoolantToPick,
  'kind' | 'base' | 'technology' | 'strengthPercent' | 'insteadOfMixing'
> {
  circuit: CircuitName;
  /** Null: not known before the level is read. */
  volumeL: number | null;
}

interface PourAt {
  visit: VisitToPick;
  pour: Pour;
}

/**
 * The coolant for the visits, in whole containers. Nothing shares a container that must not be
 * mixed:
 *
 * - two bases, or two technologies, never; a technology that the sheet does not say is like no
 *   other, so that such a vehicle has containers of its own;
 * - what is ready mixed is kept to one kind of circuit and one strength;
 * - a circuit beside high voltage has containers of its own, for each vehicle: what was open near
 *   another coolant, or stood open, may conduct.
 *
 * Concentrate and water go into any circuit that takes them. Where coolant is only topped up, one
 * container is taken, because the amount is seen at the vehicle.
 *
 * Source: common practice, no published source; the vehicle maker's information comes before it.
 *
 * @param containerL what one container holds, L
 * @returns concentrate and water first, then what is ready mixed, then circuits beside high voltage
 * @example coolantToPick([a visit that needs 7 L of concentrate and 2.5 L of water], 5).map(({ containers }) => containers) // [2, 1]
 */
export function coolantToPick(visits: readonly VisitToPick[], containerL: number): CoolantToPick[] {
  const found = new Map<string, PourAt[]>();
  for (const at of visits.flatMap((visit) => poursOf(visit).map((pour) => ({ visit, pour })))) {
    const key = keyOf(at);
    found.set(key, [...(found.get(key) ?? []), at]);
  }
  return [...found.values()]
    .map((poured) => lineOf(poured as [PourAt, ...PourAt[]], containerL))
    .sort((one, other) => placeOf(one) - placeOf(other));
}

function lineOf(poured: readonly [PourAt, ...PourAt[]], containerL: number): CoolantToPick {
  const { kind, base, technology, strengthPercent, circuit, insteadOfMixing } = poured[0].pour;
  const volumeL = poured.reduce((sum, { pour }) => sum + (pour.volumeL ?? 0), 0);
  return {
    ...{ kind, base, technology, strengthPercent, insteadOfMixing },
    circuit: kind === 'ready-mixed' ? circuit : null,
    isElectric: isElectric(circuit),
    volume: measure('volume', volumeL),
    containers: Math.max(1, wholeContainers(volumeL, containerL)),
    for: poured.map(({ visit, pour }) => ({
      ...vehicleOf(visit),
      circuit: pour.circuit,
      volume: pour.volumeL === null ? null : measure('volume', pour.volumeL),
    })),
  };
}

const KIND_ORDER: Readonly<Record<PouredKind, number>> = { concentrate: 0, water: 1, 'ready-mixed': 2 };
const placeOf = ({ kind, isElectric: beside }: CoolantToPick): number => KIND_ORDER[kind] + (beside ? 3 : 0);

function keyOf({ visit, pour }: PourAt): string {
  const { kind, base, technology, strengthPercent, circuit, insteadOfMixing } = pour;
  if (kind === 'water' && !isElectric(circuit)) return kind;
  const isOwn = isElectric(circuit) || technology === null;
  return JSON.stringify([
    ...[kind, base, technology, strengthPercent, insteadOfMixing],
    kind === 'ready-mixed' || isOwn ? circuit : null,
    isOwn ? visit.visitId : null,
  ]);
}

/** What is poured at a visit, circuit by circuit. */
function poursOf({ card, firstCircuit }: VisitToPick): Pour[] {
  const circuits = [
    { circuit: card.circuit ?? firstCircuit, coolant: card.coolant },
    ...card.otherCircuits.map(({ circuit, coolant }) => ({ circuit: circuit ?? firstCircuit, coolant })),
  ];
  return circuits.flatMap(({ circuit, coolant }) => {
    if (coolant === null) return [];
    const known = poursOfCircuit(circuit, coolant);
    const named = card.circuit === null ? null : circuit;
    return known.length === 0 && isToppedUp(card.steps, named) ? [toppingUp(circuit, coolant)] : known;
  });
}

function poursOfCircuit(circuit: CircuitName, coolant: CoolantForJob): Pour[] {
  const { base, technology, bring, premix, adjust } = coolant;
  const concentrate = (volumeL: number): Pour => ({
    ...{ kind: 'concentrate', base, technology, strengthPercent: 100, insteadOfMixing: false },
    ...{ circuit, volumeL },
  });
  const water = (volumeL: number): Pour => ({
    ...{ kind: 'water', base: null, technology: null, strengthPercent: null, insteadOfMixing: false },
    ...{ circuit, volumeL },
  });
  const pours: Pour[] = [];
  if (bring !== null) pours.push(concentrate(bring.concentrate.value), water(bring.water.value));
  if (premix !== null)
    pours.push({
      ...{ kind: 'ready-mixed', base, technology, strengthPercent: premix.strengthPercent },
      ...{ insteadOfMixing: bring !== null, circuit, volumeL: premix.volume.value },
    });
  if (adjust !== null)
    pours.push(adjust.pour === 'water' ? water(adjust.drain.value) : concentrate(adjust.drain.value));
  return pours.filter(({ volumeL }) => volumeL !== 0);
}

const TOPPING_UP: readonly StepName[] = ['top-up', 'top-up-to-mark'];

/** @param named null where the vehicle has only one circuit */
function isToppedUp(steps: VisitToPick['card']['steps'], named: CircuitName | null): boolean {
  return steps.some(({ step, circuit }) => TOPPING_UP.includes(step) && (circuit ?? null) === named);
}

function toppingUp(circuit: CircuitName, coolant: CoolantForJob): Pour {
  const { base, technology, targetStrengthPercent: strengthPercent } = coolant;
  return {
    ...{ kind: 'ready-mixed', base, technology, strengthPercent, insteadOfMixing: false },
    ...{ circuit, volumeL: null },
  };
}
