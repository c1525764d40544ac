import { canonicalJson } from '../../src/domain/canonical-json.js';
import { eachOnce, isSameMessage } from '../../src/domain/same-message.js';

const LOST = {
  code: 'lost',
  values: { amount: { measure: 'vacuum', value: 10.2, typed: 'inHg' }, minutes: 5 },
};
/** As a database gives it back: shorter names first. */
const LOST_AS_STORED = {
  code: 'lost',
  values: { amount: { typed: 'inHg', value: 10.2, measure: 'vacuum' }, minutes: 5 },
};
const of = (minutes: number) => ({ code: 'lost', values: { minutes } });

describe('two messages', () => {
  it('are the same whatever the order of their fields', () => {
    expect(isSameMessage(LOST, LOST_AS_STORED)).toBe(true);
    expect(isSameMessage(LOST, { values: LOST.values, code: 'lost' })).toBe(true);
    expect(isSameMessage(null, null)).toBe(true);
  });

  it('differ by code, by any value, and by the order of a list', () => {
    expect(isSameMessage(LOST, { ...LOST, code: 'held' })).toBe(false);
    expect(isSameMessage(LOST, null)).toBe(false);
    expect(isSameMessage(of(5), of(6))).toBe(false);
    expect(isSameMessage(of(5), { code: 'lost', values: {} })).toBe(false);
    const named = (...names: string[]) => ({ code: 'named', values: { names } });
    expect(isSameMessage(named('a', 'b'), named('b', 'a'))).toBe(false);
  });

  it('are the same although a number differs in its last bits', () => {
    expect(isSameMessage(of(0.3), of(0.1 + 0.2))).toBe(true);
    expect(canonicalJson(of(0.1 + 0.2))).toBe('{"code":"lost","values":{"minutes":0.3}}');
  });

  it('are told once if they are the same, where they first stood', () => {
    expect(eachOnce([of(2), LOST, LOST_AS_STORED, of(1), of(2)])).toEqual([of(2), LOST, of(1)]);
  });
});
