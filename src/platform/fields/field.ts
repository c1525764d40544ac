import { applyDecorators } from '@nestjs/common';
import { ApiProperty, type ApiPropertyOptions } from '@nestjs/swagger';
import { ValidateBy, ValidateIf, type ValidationOptions } from 'class-validator';

/**
 * What every field decorator takes: whether the field may be left out, and what the API document
 * says of it.
 */
export interface FieldOptions {
  optional?: boolean;
  description?: string;
  example?: unknown;
}

export type Rule = (value: unknown) => string | null;

export function satisfies(name: string, rule: Rule, each = false): PropertyDecorator {
  const options: ValidationOptions = { each };
  return ValidateBy(
    {
      name,
      validator: {
        validate: (value: unknown) => rule(value) === null,
        defaultMessage: (args) =>
          rule(each ? firstBad(args?.value, rule) : args?.value) ?? 'is not acceptable',
      },
    },
    options,
  );
}

function firstBad(value: unknown, rule: Rule): unknown {
  return Array.isArray(value) ? value.find((item) => rule(item) !== null) : value;
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
