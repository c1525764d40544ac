import { Body, Controller, Header, Query } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { ManagerWork } from '../../platform/access/access.js';
import { IdParam } from '../../platform/input/id-param.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import type { Page } from '../../platform/pages/pages.js';
import { CreateRoute, DeleteRoute, ListRoute } from '../../platform/resources/resource-routes.js';
import { NewTokenView, TokenInput, TokenPage, TokenView } from './token.dto.js';
import { TokensService } from './tokens.service.js';

@ApiTags('tokens')
@Controller('v1/tokens')
export class TokensController {
  constructor(private readonly tokens: TokensService) {}

  @ListRoute('List the tokens that are not revoked, by name', TokenPage)
  @ManagerWork()
  list(@Query() query: PageQueryDto): Promise<Page<TokenView>> {
    return this.tokens.list(query);
  }

  @CreateRoute('Issue a token; it is shown once', NewTokenView)
  @Header('cache-control', 'no-store')
  create(@Body() input: TokenInput): Promise<NewTokenView> {
    return this.tokens.issue(input);
  }

  @DeleteRoute('Revoke a token; it is refused from the next request on')
  remove(@IdParam('token') id: string): Promise<void> {
    return this.tokens.revoke(id);
  }
}
