// What the marks of a chart mean, in the same marks.
#include <algorithm>
#include <string>
#include <vector>

#include "report/svg_chart.hpp"

namespace tracehold {
namespace {

struct KeyItem {
    Html sample;
    std::string text;
};

class Key {
public:
    void add(const Html& sample, std::string_view text) {
        const auto same = [&](const KeyItem& item) { return item.text == text; };
        if (text.empty() || std::any_of(items_.begin(), items_.end(), same)) return;
        items_.push_back({sample, std::string(text)});
    }
    Html list() const {
        Html out;
        if (items_.empty()) return out;
        out << "<ul class=\"key\">";
        for (const KeyItem& item : items_) {
            out << "<li><svg class=\"sample\" width=\"28\" height=\"14\" aria-hidden=\"true\" focusable=\"false\">"
                << item.sample << "</svg> " << html_text(item.text, kLongestHtmlTitle) << "</li>";
        }
        out << "</ul>";
        return out;
    }

private:
    std::vector<KeyItem> items_;
};

Html line_sample(ChartRole role) { return Html() << "<path class=\"line " << role_class(role) << "\" d=\"M1 7h26\"/>"; }

void add_drawn(Key& key, const Chart& chart, const PageWords& words) {
    for (const ChartLine& line : chart.lines) key.add(line_sample(line.role), line.label);
    for (const ChartLevel& level : chart.levels) {
        key.add(Html() << "<path class=\"level " << role_class(level.role) << "\" d=\"M1 7h26\"/>",
                level.role == ChartRole::target ? words.target : words.threshold);
    }
    for (const ChartBand& band : chart.bands) {
        key.add(Html() << "<path class=\"area " << role_class(band.role) << "\" d=\"M1 2h26v10h-26z\"/>", band.label);
    }
}

void add_points(Key& key, const Chart& chart) {
    const bool rings = !chart.points.empty() && chart.points.front().shape == PointShape::ring;
    if (rings) key.add(Html() << "<g class=\"points\"><circle class=\"hollow\" cx=\"14\" cy=\"7\" r=\"2.6\"/></g>", chart.each_point);
}

void add_spans(Key& key, const Chart& chart, const PageWords& words) {
    for (const ChartSpan& span : chart.spans) {
        if (span.kind != SpanKind::masked) {
            key.add(Html() << "<path class=\"tint\" d=\"M1 0h26v9h-26z\"/><path class=\"bar\" d=\"M1 9h26v5h-26z\"/>",
                    span.kind == SpanKind::work ? words.work : words.found);
        } else {
            key.add(Html() << "<path class=\"hatch\" d=\"M2 12 12 2M8 12 18 2M14 12 24 2M20 12 26 6\"/>", words.masked);
        }
    }
}

void add_moments(Key& key, const Chart& chart, const PageWords& words) {
    for (const ChartMoment& moment : chart.moments) {
        if (moment.kind == MomentKind::onset) {
            key.add(Html() << "<path class=\"onset\" d=\"M10 3v8l7-4z\"/>", words.onset);
        } else if (moment.kind == MomentKind::release) {
            key.add(Html() << "<path class=\"release\" d=\"M17 3v8l-7-4z\"/>", words.release);
        } else if (moment.kind == MomentKind::unseen) {
            key.add(Html() << "<circle class=\"unseen\" cx=\"14\" cy=\"7\" r=\"3.5\"/>", words.unseen);
        } else if (moment.kind == MomentKind::missing) {
            key.add(Html() << "<path class=\"missing\" d=\"M11 4l6 6m0-6l-6 6\"/>", words.not_given);
        }
    }
}

}  // namespace

Html chart_key(std::span<const Chart> charts, const PageWords& words) {
    Key key;
    for (const Chart& chart : charts) {
        add_points(key, chart);
        add_drawn(key, chart, words);
        add_spans(key, chart, words);
        add_moments(key, chart, words);
    }
    return key.list();
}

}  // namespace tracehold
