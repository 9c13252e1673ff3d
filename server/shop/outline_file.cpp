// SVG by its open standard (W3C, SVG 1.1: coordinate systems, paths; implementation notes on arcs).
#include "shop/outline_file.h"
#include "language/said.h"

#include "host/file.h"
#include "host/host.h"
#include "shop/keys.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <optional>

namespace turnwright::shop {

namespace {
namespace fs = std::filesystem;

struct Spot {
    double x = 0, y = 0;
};
Spot operator+(Spot a, Spot b) {
    return {a.x + b.x, a.y + b.y};
}
Spot operator-(Spot a, Spot b) {
    return {a.x - b.x, a.y - b.y};
}
Spot operator*(Spot a, double by) {
    return {a.x * by, a.y * by};
}
double length_of(Spot a) {
    return std::hypot(a.x, a.y);
}

/// x' = a x + c y + e, y' = b x + d y + f
struct Turned {
    double a = 1, b = 0, c = 0, d = 1, e = 0, f = 0;
    Spot of(Spot s) const { return {a * s.x + c * s.y + e, b * s.x + d * s.y + f}; }
    Turned then_inner(const Turned& in) const {
        return {a * in.a + c * in.b, b * in.a + d * in.b,     a * in.c + c * in.d,
                b * in.c + d * in.d, a * in.e + c * in.f + e, b * in.e + d * in.f + f};
    }
    double widening() const { return std::max(std::hypot(a, b), std::hypot(c, d)); }
};

/// Numbers and letters of an attribute, with blanks and commas between.
class Words {
public:
    explicit Words(std::string_view text) : text_(text) {}
    void skip() {
        while (!text_.empty() && std::string_view(" \t\r\n,").find(text_.front()) != std::string_view::npos)
            text_.remove_prefix(1);
    }
    bool ended() {
        skip();
        return text_.empty();
    }
    char letter() {
        skip();
        if (text_.empty() || !std::isalpha(static_cast<unsigned char>(text_.front()))) return 0;
        const char letter = text_.front();
        text_.remove_prefix(1);
        return letter;
    }
    std::optional<double> number() {
        skip();
        if (!text_.empty() && text_.front() == '+') text_.remove_prefix(1);
        double value = 0;
        const auto [end, error] = std::from_chars(text_.data(), text_.data() + text_.size(), value);
        if (error != std::errc() || !std::isfinite(value) || std::abs(value) > 1e7) return std::nullopt;
        text_.remove_prefix(static_cast<std::size_t>(end - text_.data()));
        return value;
    }
    /// The flags of an arc may stand without a blank between them.
    std::optional<bool> flag() {
        skip();
        if (text_.empty() || (text_.front() != '0' && text_.front() != '1')) return std::nullopt;
        const bool flag = text_.front() == '1';
        text_.remove_prefix(1);
        return flag;
    }
    std::string_view until(char end) {
        const std::size_t at = std::min(text_.find(end), text_.size());
        const std::string_view word = text_.substr(0, at);
        text_.remove_prefix(std::min(at + 1, text_.size()));
        return word;
    }
    std::string_view rest() const { return text_; }

private:
    std::string_view text_;
};

/// One tag of the file: its name and the text of its attributes.
struct Tag {
    std::string_view name, inside;
    bool closes = false, is_empty = false;
    std::optional<std::string_view> attribute(std::string_view wanted) const {
        for (std::size_t at = inside.find(wanted); at != std::string_view::npos;
             at = inside.find(wanted, at + 1)) {
            const bool begins = at > 0 && std::isspace(static_cast<unsigned char>(inside[at - 1]));
            std::size_t behind = at + wanted.size();
            while (behind < inside.size() && std::isspace(static_cast<unsigned char>(inside[behind])))
                ++behind;
            if (!begins || behind >= inside.size() || inside[behind] != '=') continue;
            behind = inside.find_first_of("\"'", behind);
            if (behind == std::string_view::npos) return std::nullopt;
            const std::size_t end = inside.find(inside[behind], behind + 1);
            if (end == std::string_view::npos) return std::nullopt;
            return inside.substr(behind + 1, end - behind - 1);
        }
        return std::nullopt;
    }
};

/// The next tag from `at` on; notes, declarations and character data are passed over.
std::optional<Tag> next_tag(std::string_view svg, std::size_t& at) {
    while ((at = svg.find('<', at)) != std::string_view::npos) {
        const std::string_view rest = svg.substr(at);
        std::string_view end;
        if (rest.starts_with("<!--"))
            end = "-->";
        else if (rest.starts_with("<![CDATA["))
            end = "]]>";
        else if (rest.starts_with("<?") || rest.starts_with("<!"))
            end = ">";
        if (!end.empty()) {
            at = svg.find(end, at);
            if (at == std::string_view::npos) return std::nullopt;
            continue;
        }
        std::size_t close = at + 1;
        for (char quoted = 0; close < svg.size() && (quoted || svg[close] != '>'); ++close) {
            if (quoted ? svg[close] == quoted : svg[close] == '"' || svg[close] == '\'')
                quoted = quoted ? 0 : svg[close];
        }
        if (close >= svg.size()) return std::nullopt;
        Tag tag;
        std::string_view inside = svg.substr(at + 1, close - at - 1);
        at = close + 1;
        if (inside.starts_with('/')) tag.closes = true, inside.remove_prefix(1);
        if (inside.ends_with('/')) tag.is_empty = true, inside.remove_suffix(1);
        const std::size_t name_end = std::min(inside.find_first_of(" \t\r\n"), inside.size());
        tag.name = inside.substr(0, name_end);
        if (const auto colon = tag.name.find(':'); colon != std::string_view::npos)
            tag.name.remove_prefix(colon + 1);
        tag.inside = inside.substr(name_end);
        return tag;
    }
    return std::nullopt;
}

/// nullopt: a transform that is none.
std::optional<Turned> transform_of(std::string_view text) {
    Turned all;
    Words words(text);
    while (!words.ended()) {
        std::string_view name = words.until('(');
        while (!name.empty() && name.back() == ' ') name.remove_suffix(1);
        Words inside(words.until(')'));
        std::vector<double> n;
        while (!inside.ended()) {
            const auto number = inside.number();
            if (!number || n.size() == 6) return std::nullopt;
            n.push_back(*number);
        }
        const auto at = [&](std::size_t i, double missing = 0) { return i < n.size() ? n[i] : missing; };
        const double turn = at(0) * std::numbers::pi / 180;
        Turned one;
        if (name == "translate" && !n.empty()) {
            one.e = at(0), one.f = at(1);
        } else if (name == "scale" && !n.empty()) {
            one.a = at(0), one.d = at(1, at(0));
        } else if (name == "matrix" && n.size() == 6) {
            one = {n[0], n[1], n[2], n[3], n[4], n[5]};
        } else if (name == "rotate" && (n.size() == 1 || n.size() == 3)) {
            one = {std::cos(turn), std::sin(turn), -std::sin(turn), std::cos(turn), 0, 0};
            const Spot middle{at(1), at(2)}, moved = middle - one.of(middle);
            one.e = moved.x, one.f = moved.y;
        } else if (name == "skewX" && n.size() == 1) {
            one.c = std::tan(turn);
        } else if (name == "skewY" && n.size() == 1) {
            one.b = std::tan(turn);
        } else {
            return std::nullopt;
        }
        all = all.then_inner(one);
    }
    return all;
}

/// mm of a length with its unit; nullopt: none that says how large a thing is.
std::optional<double> size_mm(std::string_view text) {
    Words words(text);
    const auto number = words.number();
    if (!number || *number <= 0) return std::nullopt;
    std::string_view unit = words.rest();
    while (!unit.empty() && unit.back() == ' ') unit.remove_suffix(1);
    if (unit == "mm") return *number;
    if (unit == "cm") return *number * 10;
    if (unit == "in") return *number * 25.4;
    return std::nullopt;
}

/// A path's data as corners, in units of the drawing.
class PathReader {
public:
    PathReader(std::string_view data, double tolerance) : words_(data), tolerance_(tolerance) {}

    /// The first closed loop, or what there is of it.
    std::vector<Spot> read(std::string& wrong) {
        char command = 0;
        while (!words_.ended() && wrong.empty()) {
            if (const char letter = words_.letter()) {
                command = letter;
                if (begun_ && (command == 'M' || command == 'm')) break; // Only the first loop counts
                if (command == 'Z' || command == 'z') break;
            } else if (command == 'M' || command == 'm') {
                command = command == 'M' ? 'L' : 'l'; // More points behind a start are lines
            }
            if (!step(command)) wrong = said("its path cannot be read");
            if (points_.size() > most_drawn_points)
                wrong = said("its path has more than {} points", most_drawn_points);
        }
        return std::move(points_);
    }

private:
    std::optional<Spot> spot(bool relative) {
        const auto x = words_.number(), y = words_.number();
        if (!x || !y) return std::nullopt;
        const Spot read{*x, *y};
        return relative ? at_ + read : read;
    }

    bool step(char command) {
        const bool relative = std::islower(static_cast<unsigned char>(command)) != 0;
        const char kind = static_cast<char>(std::toupper(static_cast<unsigned char>(command)));
        if (!begun_ && kind != 'M') return false;
        switch (kind) {
        case 'M':
        case 'L': {
            const auto to = spot(relative);
            if (to) line(*to);
            return to.has_value();
        }
        case 'H':
        case 'V': {
            const auto to = words_.number();
            if (!to) return false;
            Spot end = at_;
            double& changed = kind == 'H' ? end.x : end.y;
            changed = relative ? changed + *to : *to;
            line(end);
            return true;
        }
        case 'C':
        case 'S': {
            const auto first = kind == 'C' ? spot(relative) : mirrored('C');
            const auto second = spot(relative), to = spot(relative);
            if (!first || !second || !to) return false;
            curve(*first, *second, *to);
            control_ = *second, last_ = 'C';
            return true;
        }
        case 'Q':
        case 'T': {
            const auto middle = kind == 'Q' ? spot(relative) : mirrored('Q');
            const auto to = spot(relative);
            if (!middle || !to) return false;
            const Spot from = at_;
            curve(from + (*middle - from) * (2.0 / 3), *to + (*middle - *to) * (2.0 / 3), *to);
            control_ = *middle, last_ = 'Q';
            return true;
        }
        case 'A': {
            const auto rx = words_.number(), ry = words_.number(), turn = words_.number();
            const auto large = words_.flag(), sweep = words_.flag();
            const auto to = spot(relative);
            if (!rx || !ry || !turn || !large || !sweep || !to) return false;
            arc(std::abs(*rx), std::abs(*ry), *turn * std::numbers::pi / 180, *large, *sweep, *to);
            return true;
        }
        default:
            return false;
        }
    }

    std::optional<Spot> mirrored(char behind) const { return last_ == behind ? at_ * 2 - control_ : at_; }

    void line(Spot to) {
        if (points_.size() <= most_drawn_points) points_.push_back(to);
        at_ = to;
        begun_ = true;
        last_ = 0;
    }

    void curve(Spot first, Spot second, Spot to) {
        const Spot from = at_;
        // How far a cubic leaves the chords of n equal shares: its bend by the second differences, over n^2.
        const double bend =
            std::max(length_of(from - first * 2 + second), length_of(first - second * 2 + to));
        const int parts =
            std::clamp(static_cast<int>(std::ceil(std::sqrt(0.75 * bend / tolerance_))), 1, 200);
        for (int i = 1; i <= parts; ++i) {
            const double t = static_cast<double>(i) / parts, s = 1 - t;
            line(i == parts ? to
                            : from * (s * s * s) + first * (3 * s * s * t) + second * (3 * s * t * t) +
                                  to * (t * t * t));
        }
    }

    void arc(double rx, double ry, double turn, bool large, bool sweep, Spot to) {
        const Spot from = at_;
        if (rx == 0 || ry == 0 || length_of(from - to) == 0) return line(to);
        const double c = std::cos(turn), s = std::sin(turn);
        const Spot half = (from - to) * 0.5;
        const Spot own{c * half.x + s * half.y, -s * half.x + c * half.y};
        const double too_small = std::sqrt(own.x * own.x / (rx * rx) + own.y * own.y / (ry * ry));
        if (too_small > 1) rx *= too_small, ry *= too_small;
        const double over = rx * rx * own.y * own.y + ry * ry * own.x * own.x;
        double factor = std::sqrt(std::max(0.0, (rx * rx * ry * ry - over) / over));
        if (large == sweep) factor = -factor;
        const Spot inner{factor * rx * own.y / ry, -factor * ry * own.x / rx};
        const Spot middle = (from + to) * 0.5 + Spot{c * inner.x - s * inner.y, s * inner.x + c * inner.y};
        const auto angle = [&](Spot v) { return std::atan2(v.y / ry, v.x / rx); };
        const double start = angle(own - inner);
        double way = angle(Spot{} - own - inner) - start;
        if (sweep && way < 0) way += 2 * std::numbers::pi;
        if (!sweep && way > 0) way -= 2 * std::numbers::pi;
        const double step = 2 * std::acos(std::clamp(1 - tolerance_ / std::max(rx, ry), 0.5, 1 - 1e-6));
        const int parts = std::clamp(static_cast<int>(std::ceil(std::abs(way) / step)), 1, 200);
        for (int i = 1; i <= parts; ++i) {
            const double a = start + way * i / parts;
            const Spot p{rx * std::cos(a), ry * std::sin(a)};
            line(i == parts ? to : middle + Spot{c * p.x - s * p.y, s * p.x + c * p.y});
        }
    }

    Words words_;
    double tolerance_;
    std::vector<Spot> points_;
    Spot at_, control_;
    char last_ = 0;
    bool begun_ = false;
};

} // namespace

std::vector<OutlinePoint> outline_of_svg(std::string_view svg, double mm_per_unit, std::string& wrong) {
    std::vector<Turned> outer{{}};
    std::size_t at = 0;
    while (const auto tag = next_tag(svg, at)) {
        if (tag->closes) {
            if ((tag->name == "g" || tag->name == "svg") && outer.size() > 1) outer.pop_back();
            continue;
        }
        std::optional<Turned> own = Turned{};
        if (const auto transform = tag->attribute("transform")) own = transform_of(*transform);
        if (tag->name == "svg" && outer.size() == 1) {
            const auto box = tag->attribute("viewBox"), width = tag->attribute("width");
            if (const auto wide = width ? size_mm(*width) : std::nullopt; wide && box) {
                Words words(*box);
                words.number(), words.number();
                if (const auto units = words.number(); units && *units > 0) mm_per_unit = *wide / *units;
            }
        }
        const bool groups = tag->name == "g" || tag->name == "svg";
        const bool draws = tag->name == "path";
        if ((groups || draws) && !own) {
            wrong = said("it is moved or turned in a way that cannot be read");
            return {};
        }
        if (groups && !tag->is_empty) {
            if (outer.size() > 100) break;
            outer.push_back(outer.back().then_inner(*own));
        }
        if (!draws) continue;
        const Turned all = outer.back().then_inner(*own);
        const auto data = tag->attribute("d");
        const double widening = std::max(all.widening() * mm_per_unit, 1e-9);
        std::vector<Spot> spots = PathReader(data.value_or(""), drawn_tolerance_mm / widening).read(wrong);
        if (!wrong.empty()) return {};
        std::vector<OutlinePoint> outline;
        for (const Spot spot : spots) {
            const Spot on_sheet = all.of(spot) * mm_per_unit;
            const OutlinePoint point{-on_sheet.y + 0.0, on_sheet.x};
            const auto near = [&](const OutlinePoint& other) {
                return std::abs(other.x_mm - point.x_mm) + std::abs(other.z_mm - point.z_mm) < 1e-6;
            };
            if (outline.empty() || !near(outline.back())) outline.push_back(point);
        }
        while (outline.size() > 1 && std::abs(outline.back().x_mm - outline.front().x_mm) < 1e-6 &&
               std::abs(outline.back().z_mm - outline.front().z_mm) < 1e-6)
            outline.pop_back();
        const bool too_far = std::any_of(outline.begin(), outline.end(), [](const OutlinePoint& point) {
            return std::abs(point.x_mm) > 10'000 || std::abs(point.z_mm) > 10'000;
        });
        if (outline.size() < 3)
            wrong = said("its path encloses nothing");
        else if (too_far)
            wrong = said("it is larger than 10000 mm");
        else if (crosses_itself(outline))
            wrong = said("its path crosses itself");
        if (!wrong.empty()) return {};
        return outline;
    }
    wrong = said("it holds no path");
    return {};
}

std::vector<OutlinePoint> outline_in(const fs::path& shop_file, std::string_view name, double mm_per_unit,
                                     std::string& wrong) {
    std::error_code failed;
    const fs::path named = host::path_of(name);
    const fs::path folder = host::canonical(shop_file.parent_path(), failed);
    if (failed || shop_file.empty() || named.empty()) {
        wrong = said("it is not found");
        return {};
    }
    const fs::path real = host::canonical(folder / named, failed);
    if (failed || !fs::is_regular_file(real, failed)) {
        wrong = said("it is not found");
        return {};
    }
    if (named.is_absolute() ||
        std::mismatch(folder.begin(), folder.end(), real.begin(), real.end()).first != folder.end()) {
        wrong = said("it lies outside the shop file's folder");
        return {};
    }
    const host::FileRead file = host::read_file_in(folder, real, largest_drawing);
    if (!file.problem.empty()) {
        wrong = said("it is ") + file.problem;
        return {};
    }
    return outline_of_svg(file.bytes, mm_per_unit, wrong);
}

} // namespace turnwright::shop
