import { mailText } from '../../../../src/telling/reminders/senders/mail-text.js';
import type { MessageBody } from '../../../../src/telling/reminders/senders/message-body.js';

const line = (unitNumber: string, state: string, more: object = {}) => ({
  ...{ vehicle: { unitNumber }, component: 'drive-belt', item: null, action: 'replace', state },
  ...{ dueOn: '2026-04-06', lateOn: '2026-04-09', atOnce: false, causes: [] },
  dueAt: { odometer: null, engineHours: null },
  ...{ releasedWithFindings: false, ...more },
});

const said = (text: string) => ({ code: 'legacy', values: {}, text });

function digestOf(...dueLines: object[]) {
  return mailText(bodyOf(dueLines));
}

function bodyOf(dueLines: object[], more: object = {}): MessageBody {
  const data = {
    ...{ total: dueLines.length, shown: dueLines.length, dueLines },
    ...{ lossAlerts: [], failedReadings: [], heldReadings: [] },
  };
  return { type: 'digest', timestamp: '2026-04-06T12:00:00.000Z', data, ...more };
}

describe('the mail of a digest', () => {
  it('lists first what is due at once, late or not, and counts it in the subject', () => {
    const { subject, text, html } = digestOf(
      line('R-1', 'late'),
      line('R-2', 'late', { atOnce: true, causes: [said('The belt is worn.')] }),
      line('R-3', 'due', { atOnce: true }),
      line('R-4', 'due'),
    );
    expect(subject).toBe('4 items need attention, 2 at once, 1 overdue');
    expect(text).toMatch(
      [
        'At once',
        '- R-2: drive belt: replace, overdue, do it at once; due April 6, 2026. Why: The belt is worn.',
        '- R-3: drive belt: replace, due at once; due April 6, 2026.',
        '',
        'Overdue',
        '- R-1: drive belt: replace, overdue; due April 6, 2026.',
        '',
        'Due',
        '- R-4: drive belt: replace, due; due April 6, 2026.',
      ].join('\n'),
    );
    expect(text.startsWith('At once\n')).toBe(true);
    expect(html.indexOf('<h2>At once</h2>')).toBeLessThan(html.indexOf('<h2>Overdue</h2>'));
  });

  it('leaves a postponed line in its window', () => {
    const { subject, text } = digestOf(line('R-1', 'window', { atOnce: true }));
    expect(subject).toBe('1 item needs attention');
    expect(text.startsWith('Due soon\n- R-1: drive belt: replace, due soon; due')).toBe(true);
  });

  it('gives only the number of items if nothing is due at once or late', () => {
    expect(digestOf(line('R-1', 'due'), line('R-2', 'due')).subject).toBe('2 items need attention');
  });

  it('has no control characters and no marks that change the direction of writing', () => {
    const mark = (unit: string) => line(unit, 'late', { causes: [said('Loose\u2066 belt\u0007.')] });
    const { subject, text, html } = digestOf(mark('T-1\u202e2-T\r\nBcc: x\u200f'));
    for (const part of [subject, text, html]) {
      // oxlint-disable-next-line no-control-regex -- the very characters that must not be there
      expect(part).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]|\p{Bidi_Control}/u);
    }
    expect(text).toContain('T-1 2-T Bcc: x : drive belt');
    expect(text).toContain('Loose belt .');
  });

  // The glossary's words; "u" before the o of "ochenta" is Spanish grammar.
  it('is in Spanish, with its language named, where the message is', () => {
    const { subject, text, html } = mailText(
      bodyOf(
        [
          line('R-1', 'late', { dueAt: { odometer: { value: 81_370, unit: 'mi' }, engineHours: null } }),
          line('R-2', 'late'),
          line('R-3', 'due', { atOnce: true, causes: [said('La banda está desgastada.')] }),
        ],
        { language: 'es', timeZone: 'America/Denver' },
      ),
    );
    expect(subject).toBe('3 asuntos necesitan atención, 1 de inmediato, 2 atrasados');
    expect(text).toBe(
      [
        'De inmediato',
        '- R-3: banda impulsora: cambio, toca de inmediato; vencimiento: 6 de abril de 2026. Por qué: La banda está desgastada.',
        '',
        'Atrasados',
        '- R-1: banda impulsora: cambio, atrasado; vencimiento: 6 de abril de 2026 u 81,370 mi.',
        '- R-2: banda impulsora: cambio, atrasado; vencimiento: 6 de abril de 2026.',
        '',
        'Tienen prioridad la información de servicio del fabricante del vehículo, las reglas locales y las personas calificadas.',
        '',
      ].join('\n'),
    );
    expect(html).toContain('<html lang="es">');
  });

  it('tells when a reading was taken by the clocks of the fleet, in both languages', () => {
    const reading = {
      ...{
        warning: null,
        vehicle: { unitNumber: 'R-7' },
        kind: 'hold-test',
        takenAt: '2026-04-06T20:30:00.000Z',
      },
      evaluation: { reasons: [said('It lost 3 psi.')], cautions: [said('Never open a hot system.')] },
    };
    const mail = (language: 'en' | 'es') =>
      mailText({
        ...{ type: 'failed-reading', timestamp: '', language, timeZone: 'America/Denver' },
        data: reading,
      });
    expect(mail('en')).toMatchObject({
      subject: 'Failed: R-7, hold test',
      text: expect.stringContaining('R-7: hold test, April 6, 2026 at 2:30 PM\n- It lost 3 psi.'),
    });
    expect(mail('es')).toMatchObject({
      subject: 'No pasó: R-7, prueba de hermeticidad',
      text: expect.stringMatching(/R-7: prueba de hermeticidad, 6 de abril de 2026 a las 2:30 p\.m\.\n/),
    });
    expect(mail('es').text).toContain('Precauciones\n- Never open a hot system.');
  });
});
