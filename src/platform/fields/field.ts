import { applyDecorators } from '@nestjs/common';
import { ApiProperty, type ApiPropertyOptions } from '@nestjs/swagger';
import { ValidateBy, ValidateIf, type ValidationOptions } from 'class-validator';
import type { Message } from '../../domain/message.js';
import type { Wording } from './wording.js';
import { worded } from './wording.js';

/**
 * Options of every field decorator: whether the field may be left out, and its entry in the API
 * document.
 */
export interface FieldOptions {
  optional?: boolean;
  description?: string;
  example?: unknown;
}

/** Returns what is wrong with a value, or null when nothing is. */
export type Rule = (value: unknown, object: object) => Message | null;

/** @param each whether the rule applies to each entry of a list */
export function satisfies(name: string, rule: Rule, each = false): PropertyDecorator {
  const wording: Wording = (value, object) => {
    const wrong = each && Array.isArray(value) ? firstBad(value, rule, object) : value;
    return rule(wrong, object);
  };
  const options: ValidationOptions = { each, ...worded(wording) };
  return ValidateBy(
    { name, validator: { validate: (value: unknown, args) => rule(value, args?.object ?? {}) === null } },
    options,
  );
}

function firstBad(list: readonly unknown[], rule: Rule, object: object): unknown {
  return list.find((item) => rule(item, object) !== null);
}

export function field(
  options: FieldOptions,
  api: ApiPropertyOptions,
  ...decorators: PropertyDecorator[]
): PropertyDecorator {
  const optional = options.optional ?? false;
  const documented = {
    ...api,
    required: !optional,
    ...(optional ? { nullable: true } : {}),
    ...(options.description ? { description: options.description } : {}),
    ...(options.example !== undefined ? { example: options.example } : {}),
  } as ApiPropertyOptions;
  const presence = optional ? [ValidateIf((_object, value) => value !== undefined && value !== null)] : [];
  return applyDecorators(ApiProperty(documented), ...presence, ...decorators);
}
