// htm 3.1.1.
declare const htm: {
  bind<H>(h: (type: any, props: any, ...children: any[]) => H): (strings: TemplateStringsArray, ...values: any[]) => H;
};
export default htm;
