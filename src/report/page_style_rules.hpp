#pragma once
// The style sheet but for its colours. No rule asks for anything outside the page.
#include <string_view>

namespace tracehold {

inline constexpr std::string_view kScreenRules = R"css(*{box-sizing:border-box}
html{background:var(--paper);color:var(--ink);font:1rem/1.5 system-ui,-apple-system,"Segoe UI",Roboto,"Helvetica Neue","DejaVu Sans",sans-serif;-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0 auto;max-width:70rem;padding:1.5rem clamp(1rem,4vw,3rem) 3rem;overflow-wrap:anywhere}
h1{font-size:1.5rem;line-height:1.25;font-weight:650;margin:0 0 .75rem;letter-spacing:-.01em}
h2{font-size:1.15rem;line-height:1.3;font-weight:650;margin:2.5rem 0 .5rem;padding-top:.75rem;border-top:1px solid var(--rule)}
h3{font-size:1rem;font-weight:650;margin:0}
p,ul,ol,dl{margin:.5rem 0}
p,li,dd{max-width:46rem}
a{color:var(--link);text-decoration-thickness:1px;text-underline-offset:.15em}
a:focus-visible,summary:focus-visible,.scroll:focus-visible{outline:3px solid var(--link);outline-offset:2px;border-radius:2px}
.skip{position:absolute;left:-999rem}
.skip:focus{position:static;display:inline-block;padding:.5rem}
.vh{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.facts div{display:grid;grid-template-columns:9.5rem 1fr;gap:0 1rem}
.facts dt{color:var(--quiet)}
.facts dd{margin:0}
figure .facts{display:flex;flex-wrap:wrap;gap:.1rem 1.75rem;font-size:.92rem}
figure .facts div{display:flex;gap:.5rem}
.answers{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,18rem),1fr));gap:1rem;margin:1.25rem 0}
.answer{background:var(--panel);border-left:4px solid var(--edge);border-radius:2px;padding:.8rem 1rem .9rem}
.answer h2,.answer h3{font-size:.95rem;font-weight:600;color:var(--quiet);margin:0 0 .25rem;padding:0;border:0}
.answer .said{margin:0;font-size:1.05rem;font-weight:500}
.answer .terms{margin:.4rem 0 0;font-size:.85rem}
.answer .terms a{margin-right:.6rem}
.answer ul{margin:.5rem 0 0;padding-left:1.1rem;font-size:.92rem}
@media (min-width:48rem){.stacked{grid-template-columns:1fr}.stacked .answer{display:grid;grid-template:repeat(3,auto) 1fr/11rem 1fr;column-gap:1.5rem}.stacked .answer>:first-child{grid-row:1/5}.stacked .answer>:not(:first-child){grid-column:2}}
.caution{border-left-color:var(--caution);border-left-style:double;border-left-width:6px}
.reject{border-left-color:var(--reject);border-left-width:8px}
p.caution,p.reject{padding-left:.75rem;border-left-style:solid}
.sign{width:1em;height:1em;margin-right:.35em;vertical-align:-.12em;fill:none;stroke:currentColor;stroke-width:1.6}
.caution .sign{color:var(--caution)}
.reject .sign{color:var(--reject)}
.scroll{overflow-x:auto;margin:1rem 0;position:relative;background:linear-gradient(to right,var(--paper) 40%,transparent) 0 0/2.5rem 100% no-repeat local,linear-gradient(to left,var(--paper) 40%,transparent) 100% 0/2.5rem 100% no-repeat local,linear-gradient(to right,var(--edge),transparent) 0 0/.6rem 100% no-repeat,linear-gradient(to left,var(--edge),transparent) 100% 0/.6rem 100% no-repeat}
table{border-collapse:collapse;font-variant-numeric:tabular-nums lining-nums;font-size:.95rem;line-height:1.35}
caption{max-width:min(46rem,calc(100vw - 2.5rem));text-align:left;color:var(--quiet);padding:0 0 .4rem;font-size:.9rem}
th,td{padding:.32rem .9rem .32rem 0;text-align:left;vertical-align:top;max-width:26rem;overflow-wrap:anywhere}
th:first-child,td:first-child{min-width:2.5rem}
thead th,thead td{font-weight:600;border-bottom:1.5px solid var(--edge);vertical-align:bottom}
thead th{overflow-wrap:normal}
td:not(.n):not(.day):not(:empty){min-width:6.6rem}
tbody th{font-weight:400}
tbody th:not(.n){min-width:7rem}
tbody tr+tr>*{border-top:1px solid var(--rule)}
.n{text-align:right;white-space:nowrap}
thead .n{white-space:normal}
.fill{width:100%;min-width:34rem;table-layout:fixed}
.fill td{height:2.4rem;border:1px solid var(--edge)}
.fill th{padding-left:.3rem}
.fill th:nth-child(-n+3){width:15%}
sup{line-height:0;font-size:max(11px,.75em);color:var(--quiet)}
.notes{color:var(--quiet);font-size:.9rem;padding-left:1.6rem}
figure{margin:1.25rem 0}
figcaption p{color:var(--quiet);font-size:.92rem;margin:.1rem 0 .6rem}
.plot{margin:.4rem 14px .4rem 44px;min-width:0}
.plots{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,15rem),1fr));gap:.5rem 1.25rem}
.plots.thirds{grid-template-columns:repeat(auto-fit,minmax(min(100%,18rem),1fr))}
.plots.halves{grid-template-columns:repeat(auto-fit,minmax(min(100%,24rem),1fr));gap:1.25rem 2rem}
.plots>div{display:flex;flex-direction:column;justify-content:flex-end}
.plots .remark{font-size:.92rem;margin:.15rem 0}
.plots .small{font-size:.9rem;font-weight:600;margin:.4rem 0 0}
.chart{display:block;overflow:visible}
.data,.mark{overflow:visible}
.chart text{font-size:12px;fill:var(--quiet)}
.chart .up{text-anchor:end;font-variant-numeric:tabular-nums}
.chart .across{text-anchor:middle;font-variant-numeric:tabular-nums}
.chart .name,.chart .last{text-anchor:end}
.chart text.r-threshold{fill:var(--threshold)}
.chart text.r-target{fill:var(--target)}
.chart text.r-block{fill:var(--ink)}
.grid{stroke:var(--rule)}
.edge,.tick,.grid.zero{stroke:var(--edge)}
.tint{fill:var(--tint)}
.bar{fill:var(--work)}
.hatch{fill:none;stroke:var(--edge);stroke-width:1.2}
.line,.between{stroke-linejoin:round;stroke-linecap:round;stroke-width:1.4;fill:none;stroke:var(--data)}
.between{fill:var(--data);stroke-width:1}
.under{fill:var(--under)}
.area{stroke:none;fill:var(--band)}
.area.r-laterband{fill:var(--laterband);fill-opacity:.75}
.line.r-each{stroke-width:1;stroke-opacity:.6}
.line.r-median{stroke:var(--ink);stroke-width:2.6}
.line.halo{stroke:var(--paper);stroke-width:5.5;stroke-opacity:.8}
.line.r-later{stroke:var(--later);stroke-width:2.8;stroke-dasharray:8 4}
.line.r-trend{stroke:var(--later);stroke-width:2.2}
.line.r-block{stroke:var(--ink);stroke-width:3;stroke-linecap:butt}
.line.r-centre{stroke:var(--ink);stroke-width:1.4}
.line.r-limit{stroke:var(--threshold);stroke-dasharray:9 5}
.line.r-outer{stroke:var(--threshold);stroke-dasharray:2 4}
.line.r-each,.between{stroke-linecap:butt}
.level{stroke-width:1.5;fill:none}
.level.r-threshold,.line.r-threshold{stroke:var(--threshold);stroke-dasharray:9 5}
.level.r-target,.line.r-target{stroke:var(--target);stroke-dasharray:2 4}
.level.r-median{stroke:var(--data);stroke-dasharray:1 3}
.onset{fill:var(--data)}
.release{fill:var(--paper);stroke:var(--data);stroke-width:1.3}
.unseen{fill:var(--paper);stroke:var(--ink);stroke-width:1.6}
.missing{fill:none;stroke:var(--edge);stroke-width:1.6}
.change{stroke:var(--edge);stroke-dasharray:5 3}
.points svg{overflow:visible}
.points path,.points circle{fill:var(--data)}
.points .hollow{fill:var(--paper);stroke:var(--data);stroke-width:1.2}
.points line{stroke:var(--data);stroke-width:1.4;stroke-opacity:.75}
.key{list-style:none;padding:0;margin:.5rem 0 .25rem;display:flex;flex-wrap:wrap;gap:.1rem 1.25rem;color:var(--quiet);font-size:.9rem}
.key li{max-width:none}
.sample{vertical-align:-.15em;overflow:visible;margin-right:.3rem}
details{margin:.5rem 0}
summary{cursor:pointer;color:var(--link);padding:.2rem 0;font-size:.92rem;min-height:1.6rem}
.calendar th,.calendar td{padding:.15rem .35rem .15rem 0;vertical-align:middle}
.calendar thead th{padding-bottom:.3rem}
.calendar .day{text-align:center;padding:.15rem}
.calendar th:last-child,.calendar td:last-child{padding-left:1rem}
.calendar td.day span{display:block;min-width:1.9rem;line-height:1.7rem;border-radius:3px;border:1px solid transparent;print-color-adjust:exact;-webkit-print-color-adjust:exact}
.calendar .d0 span{border-color:var(--rule);color:var(--quiet)}
.calendar .d1 span{border-color:var(--data);background:var(--under);color:var(--ink)}
.calendar .d2 span{border-color:var(--data);background:var(--data);color:var(--paper);font-weight:600}
.meter{display:inline-block;width:7rem;height:10px;vertical-align:-1px;margin-left:.5rem}
.meter .want{fill:var(--band)}
.meter .have{fill:var(--data)}
.defs dt{font-weight:600;margin-top:1rem}
.defs dt span,.defs code{font-weight:400;color:var(--quiet);font-size:.9em}
.defs dd{margin:.1rem 0 0}
.defs dd.more{color:var(--quiet);font-size:.92rem}
.defs div:target{background:var(--panel);box-shadow:0 0 0 .5rem var(--panel)}
footer{margin-top:3rem;padding-top:.75rem;border-top:1px solid var(--rule);color:var(--quiet);font-size:.9rem}
@media (max-width:62rem){th,td{padding-right:.5rem}table{font-size:.86rem}td:not(.n):not(.day):not(:empty){min-width:5.6rem}tbody th:not(.n){min-width:5.5rem}}
@media (max-width:40rem){.fine{display:none}.chart .second{transform:translateY(13px);paint-order:stroke;stroke:var(--paper);stroke-width:3px}.facts div{grid-template-columns:1fr}.facts dd{margin-bottom:.3rem}.plot{margin-right:8px}}
@media (max-width:24rem){.calendar table{font-size:max(12px,.6rem)}.calendar thead .day{font-size:max(11px,.5rem);letter-spacing:-.03em}.calendar .day{padding:.02rem}.calendar .meter{display:none}.calendar th:first-child{padding-right:.15rem}.calendar tbody th:not(.n),.calendar td:not(.day):not(:empty),.calendar td.day span{min-width:.9rem}.calendar th:last-child,.calendar td:last-child{padding-left:.3rem}}
)css";

inline constexpr std::string_view kPrintRules = R"css(:root{font-size:10pt;line-height:1.38}
body{max-width:none;padding:0}
.skip,.terms,details:not([open]){display:none}
p,figcaption{orphans:3;widows:3}
th,td{padding-top:.2rem;padding-bottom:.2rem}
h2,h3,h2+p,p:has(+ul),p:has(+ol),p:has(+.scroll){break-after:avoid}
h2{margin-top:1rem;padding-top:.4rem}
h2:has(+.scroll .fill){break-before:page}
caption{max-width:none}
figure{margin:.6rem 0}
figure.whole,figcaption{break-inside:avoid}
figcaption,figcaption p,h3,.small,.remark,dt{break-after:avoid}
tr,li,.answer,.defs div,.facts,.plot,.plots>div,.key{break-inside:avoid}
footer{display:none}
thead{display:table-header-group}
.scroll{overflow:visible;background:none}
.answers:not(.stacked){grid-template-columns:repeat(3,1fr)}
.answers:not(.stacked):has(>:nth-child(4):last-child){grid-template-columns:repeat(2,1fr)}
.answers{gap:.6rem}
.answers.stacked{grid-template-columns:1fr;gap:.2rem}
.answer{background:none;border-top:1px solid var(--rule);padding:.4rem .6rem}
.plots{grid-template-columns:repeat(4,1fr)}
.plots.thirds{grid-template-columns:repeat(3,1fr)}
.plots.halves{grid-template-columns:repeat(2,1fr)}
a{color:inherit;text-decoration:none}
thead a,tbody th a{text-decoration:none}
)css";

}  // namespace tracehold
