// The part of preact 11.2.0's hooks that is used here.
export function useState<S>(initial: S | (() => S)): [S, (next: S | ((before: S) => S)) => void];
export function useEffect(effect: () => void | (() => void), inputs?: unknown[]): void;
export function useLayoutEffect(effect: () => void | (() => void), inputs?: unknown[]): void;
export function useMemo<T>(make: () => T, inputs?: unknown[]): T;
export function useRef<T>(initial: T): { current: T };
export function useId(): string;
