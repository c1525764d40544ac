import { html } from '../../../platform/presenting/html.js';
import { printable } from '../../../platform/words/printable.js';
import type { Language } from '../../../platform/words/languages.js';
import { mailContent, type MailSection } from './mail-content.js';
import { say } from './mail-wording.js';
import { message } from './messages.js';
import type { MessageBody } from './message-body.js';

/** An e-mail as plain text, and the same as simple HTML. */
export interface MailText {
  subject: string;
  text: string;
  html: string;
}

/** One line of text, whatever was typed: a line break would end a header of the message. */
const oneLine = (text: string): string => printable(text).replaceAll(/\s+/g, ' ').trim();

/** Writes a message as an e-mail, in the language of its content. */
export function mailText(body: MessageBody): MailText {
  const { language = 'en', timeZone = 'UTC' } = body;
  const reader = { language, timeZone };
  const { subject, sections } = mailContent(body, reader);
  const foot = say(message('mail-foot'), reader);
  const filled = sections
    .map(({ heading, lines }) => ({ heading: oneLine(heading), lines: lines.map(oneLine) }))
    .filter(({ lines }) => lines.length > 0);
  const text = filled.map(({ heading, lines }) => [heading, ...lines.map((line) => `- ${line}`)].join('\n'));
  return {
    subject: oneLine(subject).slice(0, 200),
    text: [...text, foot].join('\n\n') + '\n',
    html: asPage(oneLine(subject), filled, foot, language),
  };
}

function asPage(title: string, sections: readonly MailSection[], foot: string, language: Language): string {
  const body = sections.map(
    ({ heading, lines }) =>
      html`<h2>${heading}</h2>
        <ul>
          ${lines.map((line) => html`<li>${line}</li> `)}
        </ul> `,
  );
  return html`<!doctype html>
    <html lang="${language}">
      <head>
        <meta charset="utf-8" />
        <title>${title}</title>
      </head>
      <body>
        ${body}
        <p>${foot}</p>
      </body>
    </html> `.text;
}
