import { mailContent } from './mail-content.js';
import type { MessageBody } from './message-body.js';

/** An e-mail as it is written: plain text, and the same as simple HTML. */
export interface MailText {
  subject: string;
  text: string;
  html: string;
}

const FOOT = 'The vehicle maker’s service information, local rules and qualified people come first.';

/** One line of text, whatever was typed: what breaks a line would end a header of the message. */
const oneLine = (text: string): string => text.replaceAll(/[\p{Cc}\s]+/gu, ' ').trim();

const ENTITIES: Record<string, string> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};
const escaped = (text: string): string => text.replaceAll(/[&<>"']/g, (sign) => ENTITIES[sign] ?? sign);

/** Writes a message as an e-mail. */
export function mailText(message: MessageBody): MailText {
  const { subject, sections } = mailContent(message);
  const filled = sections
    .map(({ heading, lines }) => ({ heading: oneLine(heading), lines: lines.map(oneLine) }))
    .filter(({ lines }) => lines.length > 0);
  const text = filled.map(({ heading, lines }) => [heading, ...lines.map((line) => `- ${line}`)].join('\n'));
  const html = filled.map(
    ({ heading, lines }) =>
      `<h2>${escaped(heading)}</h2>\n<ul>\n${lines.map((line) => `<li>${escaped(line)}</li>\n`).join('')}</ul>`,
  );
  return {
    subject: oneLine(subject).slice(0, 200),
    text: [...text, FOOT].join('\n\n') + '\n',
    html: `<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>${escaped(oneLine(subject))}</title></head>\n<body>\n${html.join('\n')}\n<p>${escaped(FOOT)}</p>\n</body></html>\n`,
  };
}
