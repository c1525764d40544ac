import { Controller, Get, Req, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiProperty, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { API_VERSION } from '../../platform/http/api-version.js';
import { wantsHtml } from '../../platform/presenting/wants-html.js';

class Entrance {
  @ApiProperty({ description: 'The desk, for managers', example: '/desk' }) desk!: string;
  @ApiProperty({ description: 'The page for mechanics', example: '/phone' }) phone!: string;
  @ApiProperty({ description: 'The API document', example: '/openapi.json' }) openapi!: string;
  @ApiProperty({ description: 'The API document as a page', example: '/docs' }) docs!: string;
  @ApiProperty({ description: 'Whether the service can work', example: '/health/ready' }) health!: string;
  @ApiProperty({ description: 'The version of the API', example: API_VERSION }) version!: string;
}

const ENTRANCE: Entrance = {
  desk: '/desk',
  phone: '/phone',
  openapi: '/openapi.json',
  docs: '/docs',
  health: '/health/ready',
  version: API_VERSION,
};

/** The entry point for someone who knows only the address of the service. */
@ApiTags('entrance')
@Controller()
export class EntranceController {
  @Get()
  @ApiOperation({
    summary: 'Where everything is',
    description: 'Links, for a client. A browser, which asks for HTML, is sent to the desk.',
  })
  @ApiOkResponse({ type: Entrance })
  @ApiResponse({ status: 302, description: 'To the desk, for a browser' })
  enter(
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Entrance | undefined {
    void reply.headers({ vary: 'Accept', 'cache-control': 'no-cache' });
    if (!wantsHtml(request.headers.accept)) return ENTRANCE;
    void reply.redirect(ENTRANCE.desk, 302);
    return undefined;
  }
}
