import {
  applyDecorators,
  type CallHandler,
  createParamDecorator,
  Delete,
  type ExecutionContext,
  Get,
  HttpCode,
  Injectable,
  type NestInterceptor,
  Patch,
  Post,
  type Type,
  UseInterceptors,
} from '@nestjs/common';
import {
  ApiBody,
  ApiCreatedResponse,
  ApiHeader,
  ApiNoContentResponse,
  ApiOkResponse,
  ApiOperation,
  PartialType,
} from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { type Observable, tap } from 'rxjs';
import { ManagerWork } from '../access/access.js';
import { tagVersion } from './etags.js';

/** Tags the answer that shows one resource with its version. */
@Injectable()
export class VersionTag implements NestInterceptor {
  intercept(context: ExecutionContext, next: CallHandler): Observable<unknown> {
    const reply = context.switchToHttp().getResponse<FastifyReply>();
    return next.handle().pipe(
      tap((answer: unknown) => {
        if (typeof answer === 'object' && answer !== null && 'version' in answer)
          tagVersion(reply, answer as { version: number });
      }),
    );
  }
}

/** The header that says which version a change is meant for. */
export const IfMatch = createParamDecorator(
  (_data: unknown, context: ExecutionContext): string | undefined =>
    context.switchToHttp().getRequest<FastifyRequest>().headers['if-match'],
);

/** `GET` of a collection. */
export function ListRoute(summary: string, page: Type): MethodDecorator {
  return applyDecorators(Get(), ApiOperation({ summary }), ApiOkResponse({ type: page }));
}

/** `POST` to a collection, by a manager. */
export function CreateRoute(summary: string, view: Type): MethodDecorator {
  return applyDecorators(
    Post(),
    ManagerWork(),
    UseInterceptors(VersionTag),
    ApiOperation({ summary }),
    ApiCreatedResponse({ type: view }),
  );
}

/** `GET` of one resource, tagged with its version. */
export function ReadRoute(summary: string, view: Type, path = ':id'): MethodDecorator {
  return applyDecorators(
    Get(path),
    UseInterceptors(VersionTag),
    ApiOperation({ summary }),
    ApiOkResponse({ type: view }),
  );
}

/** `PATCH` of one resource by a manager: a merge patch under `If-Match`. */
export function ChangeRoute(summary: string, input: Type, view: Type, path = ':id'): MethodDecorator {
  return applyDecorators(
    Patch(path),
    ManagerWork(),
    UseInterceptors(VersionTag),
    ApiOperation({ summary: `${summary} (merge patch)` }),
    ApiHeader({ name: 'If-Match', required: false, description: 'The ETag that the change is meant for' }),
    ApiBody({ type: patchClass(input), description: 'The fields to change; null clears' }),
    ApiOkResponse({ type: view }),
  );
}

/** `DELETE` of one resource by a manager. */
export function DeleteRoute(summary: string): MethodDecorator {
  return applyDecorators(
    Delete(':id'),
    HttpCode(204),
    ManagerWork(),
    ApiOperation({ summary }),
    ApiNoContentResponse(),
  );
}

/** The class of a patch, for the API document: every field may be left out. */
export function patchClass(input: Type): Type {
  const patch = class extends PartialType(input) {};
  Object.defineProperty(patch, 'name', { value: input.name.replace(/Input$/, 'Patch') });
  return patch;
}
