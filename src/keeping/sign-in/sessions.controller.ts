import { Body, Controller, Delete, Header, HttpCode, Post, Query, Req, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiHeader, ApiNoContentResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Roles } from '../../platform/access/access.js';
import { assertFromOwnPage } from '../../platform/access/own-page.js';
import { dropSession, giveSession } from '../../platform/access/session-cookie.js';
import { IdParam } from '../../platform/input/id-param.js';
import type { Page } from '../../platform/pages/pages.js';
import { ListRoute } from '../../platform/resources/resource-routes.js';
import { ROLES } from '../../platform/scope/roles.js';
import { deviceName } from './device-name.js';
import { SessionPage, SessionsQuery, SessionView, SignInInput } from './session.dto.js';
import { SessionsService } from './sessions.service.js';
import { SignInService } from './sign-in.service.js';

@ApiTags('people')
@Controller('v1/sessions')
export class SessionsController {
  constructor(
    private readonly sessions: SessionsService,
    private readonly signIns: SignInService,
  ) {}

  @Post()
  @Header('cache-control', 'no-store')
  @ApiOperation({
    summary: 'Sign this browser in, by the code of a link or by a token; answers with a cookie',
  })
  @ApiHeader({
    name: 'Weephole-Page',
    required: true,
    description: '1. Other sites cannot send it, so they cannot sign anybody in',
  })
  @ApiCreatedResponse({ type: SessionView })
  async open(
    @Body() input: SignInInput,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<SessionView> {
    assertFromOwnPage(request);
    const device = input.device?.trim() ?? deviceName(request.headers['user-agent']);
    const { secret, session } = await this.signIns.open(input, device, request.id);
    giveSession(request, reply, secret);
    return session;
  }

  @ListRoute('List the sessions in force, the newest first', SessionPage)
  @Roles(...ROLES)
  @Header('cache-control', 'no-store')
  list(@Query() query: SessionsQuery): Promise<Page<SessionView>> {
    return this.sessions.list(query);
  }

  @Delete('current')
  @HttpCode(204)
  @Roles(...ROLES)
  @ApiOperation({ summary: 'Sign this browser out' })
  @ApiNoContentResponse()
  async end(@Req() request: FastifyRequest, @Res({ passthrough: true }) reply: FastifyReply): Promise<void> {
    await this.sessions.endCurrent();
    dropSession(request, reply);
  }

  @Delete(':id')
  @HttpCode(204)
  @Roles(...ROLES)
  @ApiOperation({ summary: 'End a session: one’s own, or, for managers, anybody’s' })
  @ApiNoContentResponse()
  remove(@IdParam('session') id: string): Promise<void> {
    return this.sessions.end(id);
  }
}
