/**
 * Writes docs/messages.md: every message with its parameters and what it says in each language, by
 * the file that declares it. Reads what `npm run build` made.
 */
import { writeFileSync } from 'node:fs';
import { declaredMessages, languageFiles, root } from './declared-messages.mjs';

const INTRODUCTION = `# What the service tells

Every reason, caution, step, follow-up, advice, notice and problem is a message: a stable \`code\`,
its \`values\`, and a \`text\` in the language of the reader. Programs go by the code; people read the
text. A quantity among the values comes with its unit, in the units of the answer and not rounded.
Where the text asks for something to be done, it says what is wrong first and what to do next.

\`legacy\` is the code of a sentence that was stored before there were codes; its \`text\` is all there
is. The texts are in [ICU MessageFormat](https://unicode-org.github.io/icu/userguide/format_parse/messages/).
The trade's words are in the [glossary](glossary.md). This page is made by \`npm run words\`.
`;

const cell = (text) => text.replaceAll('|', '\\|').replaceAll('\n', ' ').replaceAll('<', '&lt;');
const kindOf = (kind) => (Array.isArray(kind) ? kind.join(' / ') : kind);
const listed = (parameters) =>
  Object.entries(parameters)
    .map(([name, kind]) => `\`${name}\`: ${kindOf(kind)}`)
    .join('; ');

const byFile = new Map();
for (const [code, { file, parameters }] of await declaredMessages())
  byFile.set(file, [...(byFile.get(file) ?? []), { code, parameters }]);
const languages = Object.values(await languageFiles());
const heads = ['Code', 'Values', ...languages.map(({ name }) => name)];

const parts = [INTRODUCTION];
for (const [file, messages] of byFile) {
  const rows = messages.map(({ code, parameters }) => [
    `\`${code}\``,
    listed(parameters),
    ...languages.map(({ messages: said }) => cell(said[code] ?? '')),
  ]);
  const table = [heads, heads.map(() => '---'), ...rows].map((row) => `| ${row.join(' | ')} |`).join('\n');
  parts.push(`## ${file.replace(/^src\//, '').replace(/\/?messages\.ts$/, '')}\n\n${table}\n`);
}
writeFileSync(new URL('docs/messages.md', root), parts.join('\n'));
