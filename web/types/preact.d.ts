// The part of preact 11.2.0 that is used here.
export interface VNode { type: unknown; props: Record<string, unknown>; key: unknown }
export type Child = VNode | VNode[] | string | number | boolean | null | undefined | Child[];
export function h(type: unknown, props: Record<string, unknown> | null, ...children: unknown[]): VNode;
export function render(vnode: Child, parent: Element): void;
export class Component<P = {}, S = {}> {
  constructor(props: P);
  props: P & { children?: Child };
  state: S;
  setState(change: Partial<S>): void;
  render(props: P & { children?: Child }, state: S): Child;
}
