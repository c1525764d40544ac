import { watchVehicle } from '../../../src/domain/loss/alerts/watch-vehicle.js';
import { LOSS_DEFAULTS } from '../../../src/domain/loss/facts/settings.js';
import { message } from '../../../src/domain/loss/messages.js';
import type { MessageValue, ParameterKind } from '../../../src/domain/message.js';
import { measure } from '../../../src/domain/quantities/measures.js';
import { present } from '../../../src/platform/presenting/present.js';
import { LANGUAGES } from '../../../src/platform/words/languages.js';
import { textOf } from '../../../src/platform/words/render.js';
import { job, line, onDay, vehicle } from './facts.js';

describe('the evidence of a loss alert', () => {
  it('is answered as a code, its values and a text in the units of each reader', () => {
    const lost = measure('volume', 9.5);
    const answer = { evidence: [{ message: message('loss-again', { lost }), computed: { lost } }] };
    expect(present(answer, { language: 'en', units: 'si' })).toEqual({
      evidence: [
        {
          message: {
            code: 'loss-again',
            values: { lost: { value: 9.5, unit: 'L' } },
            text: '9.5 L lost again.',
          },
          computed: { lost: { value: 9.5, unit: 'L' } },
        },
      ],
    });
    // 9.5 L are 10.04 US quarts (NIST SP 811): read to the half.
    expect(textOf(message('loss-again', { lost }), { language: 'es', units: 'us' })).toBe(
      'Otra pérdida de 10 qt.',
    );
  });

  const both = [
    line('thermostat', 'replace', { failed: true }),
    line('idler', 'replace', { beforeWindow: true }),
  ];
  it.each([
    [
      'en',
      both,
      'Replaced before records began: thermostat and idler.',
      'Replaced again because it had failed: thermostat. Before it was due: idler.',
    ],
    [
      'en',
      both.slice(1),
      'Replaced before records began: idler.',
      'Replaced again before it was due: idler.',
    ],
    [
      'es',
      both,
      'Cambio antes de que empezaran los registros: termostato y polea loca.',
      'Nuevo cambio por falla: termostato. Antes de tiempo: polea loca.',
    ],
  ] as const)('names the parts of one job together (%s)', (language, lines, first, second) => {
    const before = job('a', 0, [line('thermostat'), line('idler')], { isBaseline: true });
    const facts = vehicle([before, job('b', 100, [...lines])]);
    const evidence = watchVehicle(facts, LOSS_DEFAULTS, onDay(200)).flatMap((alert) => alert.evidence);
    expect(evidence.map((entry) => textOf(entry.message, { language, units: 'us' }))).toEqual([
      first,
      second,
    ]);
  });
});

describe('what the loss watch says', () => {
  const value = (kind: ParameterKind): MessageValue => {
    if (kind === 'number') return 2;
    if (kind === 'measure') return measure('volume', 2);
    if (kind === 'list') return ['a', 'b'];
    return kind === 'text' || kind === 'message' || kind === 'change' ? 'a' : (kind[0] ?? '');
  };

  it.each(Object.entries(message.declared))('is known in every language: %s', (code, parameters) => {
    const values = Object.fromEntries(
      Object.entries(parameters as Record<string, ParameterKind>).map(([name, kind]) => [name, value(kind)]),
    );
    const [english, spanish] = LANGUAGES.map((language) =>
      textOf({ code, values }, { language, units: 'us' }),
    );
    expect([english, spanish]).not.toContain(code);
    expect(english).not.toBe(spanish);
  });
});
