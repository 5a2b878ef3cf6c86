import type { FastifyReply, FastifyRequest } from 'fastify'
import { documentOf, type Frame, Layout, type LayoutProps } from '../../web/layout.tsx'
import { dayOf } from './day.ts'
import { type Group, readGroup, todayIn } from './group.ts'
import { type Said, said } from './said.ts'
import { lacksStyle, sendStyle } from './style.ts'

/** What a page has to say for itself; the frame around it is the same everywhere. */
export type PageProps = Omit<LayoutProps, keyof Frame>

/** The frame of every page: who is signed in, the group, the day. Reads the group's settings where nobody is. */
export async function frameOf(request: FastifyRequest): Promise<Frame> {
  return plainFrame(request, request.viewer?.group ?? (await readGroup(request.db)))
}

/** A frame that asks no database, for the page that says that it is away. */
export function plainFrame(request: FastifyRequest, group?: Group): Frame {
  const now = request.server.now()
  return {
    me: request.viewer,
    groupName: group?.name ?? 'Understudy',
    assets: request.server.assets,
    isFirst: lacksStyle(request),
    path: request.url.split('?')[0] ?? '/',
    reader: {
      locale: group?.locale ?? 'en-GB',
      timeZone: group?.timeZone ?? 'UTC',
      today: group ? todayIn(group.timeZone, now) : dayOf(now),
    },
  }
}

/** Renders a page as the answer. Return what it gives; never call `reply.send`, a transaction may be open. */
export async function page(reply: FastifyReply, props: PageProps): Promise<string> {
  return renderPage(reply, await frameOf(reply.request), { notice: justSaid(reply.request), ...props })
}

export function renderPage(reply: FastifyReply, frame: Frame, props: PageProps): string {
  reply.type('text/html; charset=utf-8').header('cache-control', 'no-store')
  if (frame.isFirst) sendStyle(reply)
  return documentOf(<Layout {...frame} {...props} />)
}

/** What has just happened, in words; undefined where the address names nothing. */
export function justSaid(request: FastifyRequest): string | undefined {
  const key = (request.query as { said?: unknown }).said
  return typeof key === 'string' && Object.hasOwn(said, key) ? said[key as Said] : undefined
}

/**
 * After a form was accepted: leads the browser to a page that it can safely reload.
 *
 * @param key one of `said`, told at the top of that page
 */
export function seeOther(reply: FastifyReply, path: string, key?: Said): string {
  const [beforeHash = '', hash] = path.split('#')
  const mark = key ? `${beforeHash.includes('?') ? '&' : '?'}said=${key}` : ''
  reply.code(303).header('location', `${beforeHash}${mark}${hash ? `#${hash}` : ''}`)
  return ''
}
