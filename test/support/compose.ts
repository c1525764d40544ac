import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { parse } from 'yaml';

/** The parts of a service in docker-compose.yml that tests inspect. */
export interface ComposeService {
  image: string;
  command?: string[];
  environment: Record<string, string>;
  user?: string;
  read_only?: boolean;
  cap_drop?: string[];
  cap_add?: string[];
  privileged?: boolean;
  security_opt?: string[];
  tmpfs?: string[];
  volumes?: string[];
  ports?: { target: number; host_ip: string; published: string }[];
  healthcheck?: { test?: string[] };
}

export type ComposeServices = Record<'api' | 'migrate' | 'postgres' | 'queue' | 'worker', ComposeService>;

/** The text of docker-compose.yml. */
const composeText = readFileSync(resolve(import.meta.dirname, '../../docker-compose.yml'), 'utf8');

/**
 * Returns the services as Compose starts them with these variables. @throws Error when a required
 * variable is missing
 */
export function composeServices(variables: Readonly<Record<string, string>>): ComposeServices {
  const { services } = parse(composeText, { merge: true }) as { services: unknown };
  return interpolated(services, variables) as ComposeServices;
}

function interpolated(value: unknown, variables: Readonly<Record<string, string>>): unknown {
  if (typeof value === 'string') return substitute(value, variables);
  if (Array.isArray(value)) return value.map((item) => interpolated(item, variables));
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, interpolated(item, variables)]));
}

/**
 * Substitutes as Compose does: `$$`, `${NAME}`, `${NAME:-otherwise}` and `${NAME:?why}`, including
 * nested ones (https://docs.docker.com/reference/compose-file/interpolation/).
 */
function substitute(text: string, variables: Readonly<Record<string, string>>): string {
  let result = '';
  for (let at = 0; at < text.length;) {
    if (text.startsWith('$$', at)) {
      result += '$';
      at += 2;
    } else if (text.startsWith('${', at)) {
      const end = closingBrace(text, at);
      result += valueOf(text.slice(at + 2, end), variables);
      at = end + 1;
    } else if (text[at] === '$') {
      throw new Error(`docker-compose.yml holds a $ that is neither doubled nor a variable: ${text}`);
    } else {
      result += text[at++];
    }
  }
  return result;
}

function closingBrace(text: string, from: number): number {
  for (let at = from, depth = 0; at < text.length; at++) {
    if (text.startsWith('${', at)) depth++;
    else if (text[at] === '}' && --depth === 0) return at;
  }
  throw new Error(`docker-compose.yml holds a variable without its end: ${text}`);
}

function valueOf(expression: string, variables: Readonly<Record<string, string>>): string {
  const [, name = '', operator = '', rest = ''] = /^([A-Z0-9_]+)(?:(:-|:\?)([^]*))?$/.exec(expression) ?? [];
  if (name === '')
    throw new Error(`docker-compose.yml holds a variable that this cannot read: ${expression}`);
  // The default is evaluated even when it is not used, as Compose may do.
  const otherwise = operator === ':-' ? substitute(rest, variables) : '';
  const value = variables[name] ?? '';
  if (value === '' && operator === ':?') throw new Error(`${name}: ${rest}`);
  return value === '' ? otherwise : value;
}
