import { html } from '../../../platform/presenting/html.js';
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

/** Writes a message as an e-mail. */
export function mailText(message: MessageBody): MailText {
  const { subject, sections } = mailContent(message);
  const filled = sections
    .map(({ heading, lines }) => ({ heading: oneLine(heading), lines: lines.map(oneLine) }))
    .filter(({ lines }) => lines.length > 0);
  const text = filled.map(({ heading, lines }) => [heading, ...lines.map((line) => `- ${line}`)].join('\n'));
  return {
    subject: oneLine(subject).slice(0, 200),
    text: [...text, FOOT].join('\n\n') + '\n',
    html: asPage(oneLine(subject), filled),
  };
}

function asPage(title: string, sections: readonly { heading: string; lines: string[] }[]): string {
  const body = sections.map(
    ({ heading, lines }) =>
      html`<h2>${heading}</h2>
        <ul>
          ${lines.map((line) => html`<li>${line}</li> `)}
        </ul> `,
  );
  return html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <title>${title}</title>
      </head>
      <body>
        ${body}
        <p>${FOOT}</p>
      </body>
    </html> `.text;
}
