/**
 * Checks the messages for people: each is declared once, exists in every language with exactly its
 * declared parameters, and is used somewhere. Also checks that the rules in `src/domain/` contain
 * no sentences of their own. Reads the output of `npm run build`.
 */
import { readFileSync } from 'node:fs';
import { parse, TYPE } from '@formatjs/icu-messageformat-parser';
import ts from 'typescript';
import { declaredMessages, filesOf, languageFiles, root } from './declared-messages.mjs';

const LANGUAGE_TABLES = /\/words\/languages\//;
/** Three words or more: text for people, not the name of a field or a source. */
const SENTENCE = /[\p{L}\d’'"),:;%°-]+ [\p{L}\d’'"(%°-]+ [\p{L}\d]/u;

const faults = [];
const fault = (text) => faults.push(text);
const textOf = (file) => readFileSync(new URL(file, root), 'utf8');

/**
 * Returns how a text uses its parameters: name → ways, such as "number", "plain" or the options of
 * a select.
 */
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

/** Symbols are the same in every language, so a text may show the chosen one directly. */
const SYMBOLS = new Set([
  '%',
  'kPa',
  'psi',
  'inHg',
  'L',
  'N·m',
  'mm',
  'km',
  'mi',
  'rpm',
  'Hz',
  'N',
  'kg/m',
  'µS/cm',
]);

/**
 * Whether a parameter of a kind may be used in a way. @param chosen the words chosen by elsewhere
 */
function fits(kind, way, chosen) {
  if (kind === 'number') return way === 'number' || way === 'plural';
  if (!Array.isArray(kind)) return way === 'plain';
  if (way === 'plain') return kind.every((word) => SYMBOLS.has(word) || chosen.includes(word));
  return Array.isArray(way) && way.every((word) => word === 'other' || kind.includes(word));
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
        if (!fits(kind, way, ways.flat()))
          fault(`${language}: "${code}" uses {${name}}, declared ${JSON.stringify(kind)}, as ${way}`);
  }
  for (const name of Object.keys(parameters))
    if (!uses.has(name)) fault(`${language}: "${code}" does not use {${name}}`);
}

async function checkLanguages(declared) {
  for (const [language, { messages }] of Object.entries(await languageFiles())) {
    for (const [code, { parameters }] of declared) {
      if (!Object.hasOwn(messages, code)) fault(`${language}: "${code}" is missing`);
      else checkText(language, code, messages[code], parameters);
    }
    for (const code of Object.keys(messages))
      if (!declared.has(code)) fault(`${language}: "${code}" is declared nowhere`);
  }
}

/** Returns all string literals of a file that are not types or imports. */
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

/**
 * Checks that every code is used: written somewhere outside its declaration, or matching a template
 * such as `${method}-test`.
 */
function checkTold(declared) {
  const texts = new Set();
  const patterns = [];
  for (const file of filesOf('src', 'seeds', 'clients/pages/src')) {
    if (LANGUAGE_TABLES.test(file) || file.endsWith('messages.ts')) continue;
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
      if (SENTENCE.test(text.replaceAll('\0', 'x')) && (text.match(/\p{L}{2,}/gu) ?? []).length > 1)
        fault(`${file}:${line}: a sentence among the rules: ${JSON.stringify(text)}`);
}

const declared = await declaredMessages((file, code, before) =>
  fault(`${file}: "${code}" is declared in ${before} already`),
);
await checkLanguages(declared);
checkTold(declared);
checkDomain();
for (const text of faults) console.error(text);
console.log(`${declared.size} messages, ${faults.length} faults`);
process.exitCode = faults.length > 0 ? 1 : 0;
