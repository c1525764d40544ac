import fc from 'fast-check';
import ICAL from 'ical.js';
import {
  contentLines,
  escapeText,
  fold,
  hourOfDayBefore,
  text,
} from '../../../src/telling/calendar-feed/icalendar.js';

describe('iCalendar', () => {
  it('folds at 75 octets, between characters of any length (RFC 5545, 3.1)', () => {
    const inside = fc.string({ unit: 'grapheme', minLength: 0, maxLength: 300 });
    fc.assert(
      fc.property(inside, (content) => {
        const line = `SUMMARY:${escapeText(content)}`;
        const folded = fold(line);
        for (const piece of folded.split('\r\n')) {
          expect(Buffer.byteLength(piece)).toBeLessThanOrEqual(75);
          // Half a character would come back as a replacement.
          expect(Buffer.from(piece).toString()).toBe(piece);
        }
        expect(folded.replaceAll('\r\n ', '')).toBe(line);
      }),
    );
    // From the definition: 75 octets stand alone, 76 do not.
    expect(fold('x'.repeat(75))).toBe('x'.repeat(75));
    expect(fold('x'.repeat(76))).toBe(`${'x'.repeat(75)}\r\n x`);
    expect(fold('é'.repeat(38))).toBe(`${'é'.repeat(37)}\r\n é`);
  });

  it('keeps any text through an independent parser (ical.js)', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 200 }), (content) => {
        const lines = [
          'BEGIN:VCALENDAR',
          'BEGIN:VEVENT',
          text('SUMMARY', content),
          'END:VEVENT',
          'END:VCALENDAR',
        ];
        const calendar = new ICAL.Component(ICAL.parse(contentLines(lines)));
        const parsed = calendar.getFirstSubcomponent('vevent')?.getFirstPropertyValue('summary');
        const kept = content.replaceAll(/\r\n|\r/g, '\n').replaceAll(
          // oxlint-disable-next-line no-control-regex -- these become spaces
          /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]+/g,
          ' ',
        );
        expect(parsed).toBe(kept);
      }),
    );
    expect(escapeText('a, b; c\\d\r\ne\u0007')).toBe('a\\, b\\; c\\\\d\\ne ');
  });

  it('has no marks that change the direction of writing', () => {
    expect(escapeText('T-1\u202e2-T, \u2066due\u200f')).toBe('T-1 2-T\\,  due ');
  });

  it('counts from the start of a day back to an hour of an earlier one (RFC 5545, 3.3.6)', () => {
    for (const [days, hour, written, seconds] of [
      [29, 8, '-P28DT16H', -(29 * 86_400 - 8 * 3600)],
      [1, 8, '-PT16H', -16 * 3600],
      [0, 8, 'PT8H', 8 * 3600],
    ] as const) {
      expect(hourOfDayBefore(days, hour)).toBe(written);
      expect(ICAL.Duration.fromString(written).toSeconds()).toBe(seconds);
    }
  });
});
