import type { ReadingKind } from '../../../../../src/domain/readings/kinds.js';
import type { TypedReading } from '../readings/typed-reading.js';
import type { Card } from './known-vehicle.js';

/** The readings that prove a step of the card. */
const PROOF: Readonly<Record<string, readonly ReadingKind[]>> = {
  'hold-test': ['hold-test'],
  'proof-test': ['hold-test'],
  fill: ['fill'],
  'read-strength': ['freeze-point'],
  'adjust-strength': ['freeze-point'],
  'read-level': ['level-check'],
  'read-conductivity': ['conductivity'],
  'warm-up': ['warm-up-check'],
  'top-up': ['top-up'],
  'road-test': ['road-test'],
};

type Asked = Omit<TypedReading, 'key'>;

const reading = (kind: ReadingKind, more: Partial<Asked> = {}): Asked => ({
  ...{ kind, given: {}, values: {}, units: {} },
  ...more,
});

/** The readings that the work of the card asks for, in the order of its steps. */
export function askedReadings(card: Card): TypedReading[] {
  const asked = card.steps.flatMap(({ step, circuit }): Asked[] => {
    const inCircuit = circuit === undefined ? {} : { circuit };
    if (step === 'torque') return torqueSets(card);
    if (step === 'belt') return beltChecks(card);
    return (PROOF[step] ?? []).map((kind) => {
      const method = kind === 'hold-test' ? methodOf(card, step, circuit) : null;
      return reading(kind, { ...inCircuit, ...(method ? { values: { method } } : {}) });
    });
  });
  const all = [...asked, ...byLines(card, asked)];
  return withKeys(all);
}

function methodOf(card: Card, step: string, circuit: string | undefined): string | null {
  const part = card.otherCircuits.find((other) => other.circuit === circuit) ?? card;
  return step === 'proof-test' ? 'pressure' : (part.holdTest?.method ?? null);
}

const torqueSets = ({ fasteners }: Card): Asked[] =>
  fasteners.map(({ name, count }) =>
    reading('torque-set', { given: { fastener: name }, count, values: { count: String(count) } }),
  );

function beltChecks({ belts }: Card): Asked[] {
  if (belts.length === 0) return [reading('belt-check')];
  return belts.flatMap(({ name, tension }) => [
    reading('belt-check', { given: { item: name } }),
    ...(tension ? [reading('belt-tension', { given: { item: name } })] : []),
  ]);
}

/** What lines of the card ask for by themselves, where no step does. */
function byLines(card: Card, asked: readonly Asked[]): Asked[] {
  const wanted = new Set<ReadingKind>();
  for (const { component, action } of card.lines) {
    if (component === 'radiator-cap') wanted.add('cap-test');
    if (component === 'tensioner' && action !== 'replace') wanted.add('tensioner-check');
    if (component === 'drive-belt') wanted.add('belt-check');
    if (action === 'test' && ['head-gasket', 'injector-sleeve', 'egr-cooler'].includes(component))
      wanted.add('combustion-gas-test');
    if (component === 'coolant' && action === 'test') wanted.add('coolant-condition');
  }
  return [...wanted].flatMap((kind) => {
    if (asked.some((one) => one.kind === kind)) return [];
    return kind === 'belt-check' ? beltChecks(card) : [reading(kind)];
  });
}

/** Each reading once. */
function withKeys(asked: readonly Asked[]): TypedReading[] {
  const byKey = new Map<string, TypedReading>();
  for (const one of asked) {
    const method = one.values['method'] ?? '';
    const key = [one.kind, one.circuit, method, one.given['fastener'], one.given['item']]
      .filter(Boolean)
      .join(':');
    if (!byKey.has(key)) byKey.set(key, { ...one, key });
  }
  return [...byKey.values()];
}

/** A reading beyond those that the card asks for. */
export const furtherReading = (kind: ReadingKind, among: readonly TypedReading[]): TypedReading => ({
  ...reading(kind),
  key: `${kind}+${among.length}`,
});
