import { Controller, Header, Post, Req } from '@nestjs/common';
import { ApiCreatedResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyRequest } from 'fastify';
import { ManagerWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import { SignInLinkView } from './sign-in-link.dto.js';
import { SignInLinksService } from './sign-in-links.service.js';

@ApiTags('people')
@Controller('v1/people/:id/sign-in-links')
export class SignInLinksController {
  constructor(private readonly links: SignInLinksService) {}

  @Post()
  @ManagerWork()
  @Header('cache-control', 'no-store')
  @ApiOperation({ summary: 'Make a link that signs a person in once, within ten minutes; it is shown once' })
  @ApiCreatedResponse({ type: SignInLinkView })
  create(@IdParam('person') id: string, @Req() request: FastifyRequest): Promise<SignInLinkView> {
    return this.links.create(id, `${request.protocol}://${request.host}`);
  }
}
