import { COOLANT_BASES, baseTerm } from '../../../src/domain/coolant/coolant.js';
import { actionTerm, componentTerm, workTerm } from '../../../src/domain/intervals/terms.js';
import { ACTIONS, COMPONENTS } from '../../../src/domain/intervals/types.js';
import { textOf } from '../../../src/platform/words/render.js';
import { english } from '../../support/english.js';

const inSpanish = { language: 'es', units: null } as const;

describe('the terms of work', () => {
  const terms = [
    ...COMPONENTS.map(componentTerm),
    ...ACTIONS.map(actionTerm),
    ...COOLANT_BASES.map(baseTerm),
  ].map((term) => ({ code: term.code, term }));

  it.each(terms)('has words for $code in both languages', ({ code, term }) => {
    expect(english(term)).not.toBe(code);
    expect(textOf(term, inSpanish)).not.toBe(code);
  });

  it('names the item and what is done to it', () => {
    const work = workTerm({ component: 'drive-belt', action: 'replace', item: 'accessory' });
    expect(english(work)).toBe('drive belt (accessory): replace');
    expect(textOf(work, inSpanish)).toBe('banda impulsora (accessory): cambio');
  });
});
