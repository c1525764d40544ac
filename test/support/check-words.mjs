/**
 * Checks what is told to people: every message is declared once, said in every language with just
 * the parameters that it declares, and told somewhere; and the rules of `src/domain/` hold no
 * sentences of their own. Reads what `npm run build` made.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { parse, TYPE } from '@formatjs/icu-messageformat-parser';
import ts from 'typescript';

const root = new URL('../../', import.meta.url);
const LANGUAGE_TABLES = /\/words\/languages\//;
/** Three words or more: what a person reads, and no name of a field or a source. */
const SENTENCE = /[\p{L}\d’'"),:;%°-]+ [\p{L}\d’'"(%°-]+ [\p{L}\d]/u;

const faults = [];
const fault = (text) => faults.push(text);
const filesOf = (...folders) =>
  folders.flatMap((folder) =>
    readdirSync(new URL(`${folder}/`, root), { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.ts'))
      .map((file) => `${folder}/${file}`)
      .sort(),
  );
const textOf = (file) => readFileSync(new URL(file, root), 'utf8');

/** All declared messages: code → { file, parameters }. */
async function declaredMessages() {
  const declared = new Map();
  const note = (file, messages) => {
    for (const [code, parameters] of Object.entries(messages)) {
      const before = declared.get(code);
      if (before !== undefined && before.parameters !== parameters)
        fault(`${file}: "${code}" is declared in ${before.file} already`);
      declared.set(code, { file, parameters });
    }
  };
  for (const file of filesOf('src').filter((name) => name.endsWith('messages.ts'))) {
    const module = await import(new URL(`dist/${file.replace(/\.ts$/, '.js')}`, root).href);
    for (const maker of Object.values(module)) {
      if (typeof maker === 'function' && maker.declared !== undefined) note(file, maker.declared);
    }
  }
  note('clients/board/src/messages.ts', await messagesOfBoard());
  return declared;
}

/** The messages of the board, which runs in browsers and so has none of the service's modules. */
async function messagesOfBoard() {
  const { BOARD_MESSAGES } = await import(new URL('dist/board/board/src/messages.js', root).href);
  return BOARD_MESSAGES;
}

/** How a text uses its parameters: name → ways, such as "number", "plain" or the words of a select. */
function usesIn(elements, uses = new Map()) {
  const note = (name, way) => uses.set(name, [...(uses.get(name) ?? []), way]);
  for (const element of elements) {
    if (element.type === TYPE.argument) note(element.value, 'plain');
    if (element.type === TYPE.number) note(element.value, 'number');
    if (element.type === TYPE.plural) note(element.value, 'plural');
    if (element.type === TYPE.select) note(element.value, Object.keys(element.options));
    if (element.type === TYPE.date || element.type === TYPE.time || element.type === TYPE.tag)
      note(element.value, 'unknown');
    for (const option of Object.values(element.options ?? {})) usesIn(option.value, uses);
  }
  return uses;
}

function fits(kind, way) {
  if (kind === 'number') return way === 'number' || way === 'plural';
  if (Array.isArray(kind))
    return Array.isArray(way) && way.every((word) => word === 'other' || kind.includes(word));
  return way === 'plain';
}

function checkText(language, code, text, parameters) {
  let uses;
  try {
    uses = usesIn(parse(text, { ignoreTag: true }));
  } catch (error) {
    return fault(`${language}: "${code}" is not ICU MessageFormat: ${error.message}`);
  }
  for (const [name, ways] of uses) {
    const kind = parameters[name];
    if (kind === undefined) fault(`${language}: "${code}" uses {${name}}, which is not declared`);
    else
      for (const way of ways)
        if (!fits(kind, way))
          fault(`${language}: "${code}" uses {${name}}, declared ${JSON.stringify(kind)}, as ${way}`);
  }
  for (const name of Object.keys(parameters))
    if (!uses.has(name)) fault(`${language}: "${code}" does not use {${name}}`);
}

async function checkLanguages(declared) {
  const { LANGUAGE_FILES } = await import(new URL('dist/src/platform/words/languages.js', root).href);
  for (const [language, { messages }] of Object.entries(LANGUAGE_FILES)) {
    for (const [code, { parameters }] of declared) {
      if (!Object.hasOwn(messages, code)) fault(`${language}: "${code}" is missing`);
      else checkText(language, code, messages[code], parameters);
    }
    for (const code of Object.keys(messages))
      if (!declared.has(code)) fault(`${language}: "${code}" is declared nowhere`);
  }
}

/** All texts of a file that are not types or imports. */
function literalsOf(file) {
  const source = ts.createSourceFile(file, textOf(file), ts.ScriptTarget.Latest, true);
  const found = [];
  const visit = (node) => {
    if (ts.isImportDeclaration(node) || ts.isExportDeclaration(node)) return;
    if (ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node))
      found.push({ node, text: node.text });
    if (ts.isTemplateExpression(node))
      found.push({
        node,
        text: node.head.text + node.templateSpans.map((span) => `\0${span.literal.text}`).join(''),
      });
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found.map(({ node, text }) => ({
    text,
    line: source.getLineAndCharacterOfPosition(node.getStart()).line + 1,
  }));
}

const escaped = (text) => text.replaceAll(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`);

/** A code is told where it is written outside its declaration, or fits a text such as `${method}-test`. */
function checkTold(declared) {
  const texts = new Set();
  const patterns = [];
  for (const file of filesOf('src', 'clients/board/src')) {
    if (LANGUAGE_TABLES.test(file) || /messages\.ts$/.test(file)) continue;
    for (const { text } of literalsOf(file)) {
      if (!text.includes('\0')) texts.add(text);
      else if (/^[a-z0-9\0-]+$/.test(text) && /[a-z]/.test(text))
        patterns.push(new RegExp(`^${text.split('\0').map(escaped).join('[a-zA-Z0-9-]+')}$`));
    }
  }
  for (const [code, { file }] of declared)
    if (!texts.has(code) && !patterns.some((pattern) => pattern.test(code)))
      fault(`${file}: "${code}" is told nowhere`);
}

function checkDomain() {
  for (const file of filesOf('src/domain'))
    for (const { text, line } of literalsOf(file))
      if (SENTENCE.test(text.replaceAll('\0', 'x')))
        fault(`${file}:${line}: a sentence among the rules: ${JSON.stringify(text)}`);
}

const declared = await declaredMessages();
await checkLanguages(declared);
checkTold(declared);
checkDomain();
for (const text of faults) console.error(text);
console.log(`${declared.size} messages, ${faults.length} faults`);
process.exitCode = faults.length > 0 ? 1 : 0;
