import { type CallHandler, type ExecutionContext, Injectable, type NestInterceptor } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { type Observable, tap } from 'rxjs';
import { linkNext } from './pages.js';

/** Adds a `Link` header to every answer that is a page with a next one. */
@Injectable()
export class PageLinks implements NestInterceptor {
  intercept(context: ExecutionContext, next: CallHandler): Observable<unknown> {
    const http = context.switchToHttp();
    return next.handle().pipe(
      tap((answer: unknown) => {
        if (typeof answer !== 'object' || answer === null || !('next' in answer) || !('items' in answer))
          return;
        linkNext(
          http.getRequest<FastifyRequest>(),
          http.getResponse<FastifyReply>(),
          (answer as { next: string | null }).next,
        );
      }),
    );
  }
}
