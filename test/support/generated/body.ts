import { oddValue, type Random } from './random.js';

export type Schema = Record<string, any>;

/** Builds request bodies from the schemas of the API document. */
export class BodyMaker {
  constructor(
    private readonly schemas: Record<string, Schema>,
    /** Returns the id of a record of the fleet for a field of this name. */
    private readonly idFor: (field: string, random: Random) => string,
  ) {}

  /** Returns a body that is valid by the schema, though perhaps not by the service's rules. */
  good(schema: Schema, random: Random, field = '', depth = 0): unknown {
    const known = this.resolved(schema);
    const choices = known.oneOf ?? known.anyOf;
    if (choices) return this.good(random.of(choices), random, field, depth);
    if (known.allOf) return this.good(known.allOf[0], random, field, depth);
    if (known.enum) return random.of(known.enum);
    if (known.example !== undefined && random.chance(0.7)) return known.example;
    if (known.type === 'array') {
      const most = Math.min(known.maxItems ?? 3, 3);
      const count = (known.minItems ?? 0) + random.below(most + 1);
      return Array.from({ length: count }, () => this.good(known.items ?? {}, random, field, depth + 1));
    }
    if (known.type === 'number' || known.type === 'integer') return numberFor(known, random);
    if (known.type === 'boolean') return random.chance(0.5);
    if (known.type === 'string') return this.text(known, random, field);
    return this.object(known, random, depth);
  }

  /** Returns the body with random changes; `much`, from 0 to 1, tells how many. */
  bent(body: unknown, random: Random, much: number): unknown {
    if (random.chance(0.06 * much)) return oddValue(random);
    if (Array.isArray(body)) {
      if (random.chance(0.05 * much))
        return Array.from({ length: random.of([60, 600, 12_000]) }, () => body[0] ?? null);
      return body.map((item) => (random.chance(0.7) ? this.bent(item, random, much) : item));
    }
    if (typeof body !== 'object' || body === null)
      return random.chance(0.15 * much) ? oddValue(random) : body;
    const entries = Object.entries(body)
      .filter(() => !random.chance(0.04 * much))
      .map(([key, value]) => [
        random.chance(0.02 * much) ? `${key}\u0000` : key,
        this.bent(value, random, much),
      ]);
    if (random.chance(0.04 * much)) entries.push(['surplus', oddValue(random)]);
    return Object.fromEntries(entries);
  }

  private resolved(schema: Schema): Schema {
    const name = schema.$ref?.split('/').at(-1);
    return name === undefined ? schema : (this.schemas[name] ?? {});
  }

  private object(schema: Schema, random: Random, depth: number): Record<string, unknown> {
    const required: string[] = schema.required ?? [];
    const made: Record<string, unknown> = {};
    // With little more than the required fields, a body often satisfies the rules too.
    const share = random.of([0, 0.2, 0.6]);
    for (const [name, property] of Object.entries<Schema>(schema.properties ?? {})) {
      const isWanted = required.includes(name) || random.chance(depth > 3 ? 0.1 : share);
      if (isWanted) made[name] = this.good(property, random, name, depth + 1);
    }
    return made;
  }

  private text(schema: Schema, random: Random, field: string): string {
    const day = `2026-0${1 + random.below(6)}-1${random.below(10)}`;
    if (schema.format === 'uuid') return this.idFor(field, random);
    if (schema.format === 'date') return day;
    if (schema.format === 'date-time') return `${day}T0${random.below(10)}:30:00Z`;
    if (schema.pattern?.includes(':[0-5]')) return `0${random.below(10)}:30`;
    if (field === 'address') return 'http://127.0.0.1:9/hook';
    const least = Math.max(1, schema.minLength ?? 1);
    return `w${random.below(1e6)}`.padEnd(least, 'x').slice(0, Math.max(least, schema.maxLength ?? 40));
  }
}

function numberFor(schema: Schema, random: Random): number {
  const least = schema.minimum ?? 0;
  const most = Math.min(schema.maximum ?? 100, least + random.of([1, 10, 1000, 1e6]));
  const value = least + random.next() * (most - least);
  return schema.type === 'integer' ? Math.round(value) : random.of([value, Math.round(value), least, most]);
}
